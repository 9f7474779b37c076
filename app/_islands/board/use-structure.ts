import { useEffect, useMemo, useState } from 'react';
import type { StructureChange } from '../../../lib/structure/change';
import { changeWords } from '../../../lib/structure/words';
import { positionAt } from '../../../lib/transport/place';
import { timelineOf } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { Handwork, writeStructure } from '../../../shared/board/restructure';
import type { Board } from '../../../shared/board/schema';
import type { Session } from '../session/session';

/** What a leader can do to the structure of the tune, and what came of the last thing that was done. */
export interface Structuring {
  readonly change: (change: StructureChange) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** What was done, or why not, in words; empty at first. */
  readonly words: string;
  readonly refused: boolean;
}

const PLAYING =
  'The group is playing. Stop first, then change the tune: nothing changes under anybody’s fingers.';
const PLAN =
  'The agreed passes were made before this: they play new measures plain until the passes are made again.';

function isPlaying(session: Session, board: Board): boolean {
  const { kind } = positionAt(board.transport, timelineOf(board.tune), session.now());
  return kind !== 'stopped' && kind !== 'ended';
}

function countOf(board: Board, measure: MeasureId): number {
  const waiting = board.laidAside.flatMap(({ variants }) => variants);
  return [...board.variants, ...waiting].filter((variant) => variant.measure === measure).length;
}

/** For a leader: the structure of the tune in their hand. Undefined for anybody else and until scripts run. */
export function useStructure(
  session: Session | undefined,
  board: Board,
  leads: boolean,
): Structuring | undefined {
  const [said, setSaid] = useState({ words: '', refused: false });
  const hand = useMemo(
    () => (session && leads ? new Handwork(session.lead) : undefined),
    [session, leads],
  );
  useEffect(() => () => hand?.destroy(), [hand]);
  if (!session || !hand) return undefined;
  const unlessPlaying = (act: () => void) => {
    if (isPlaying(session, board)) setSaid({ words: PLAYING, refused: true });
    else act();
  };
  const change = (wanted: StructureChange) =>
    unlessPlaying(() => {
      const made = writeStructure(session.lead, wanted);
      if (!made.ok) {
        setSaid({ words: made.problems.map(({ words }) => words).join(' '), refused: true });
        return;
      }
      const words = changeWords(wanted, made.value.before, made.value, (id) => countOf(board, id));
      setSaid({ words: board.plan ? `${words} ${PLAN}` : words, refused: false });
    });
  return {
    change,
    undo: () =>
      unlessPlaying(() => {
        hand.undo();
        setSaid({ words: 'Taken back: the tune is as it was before.', refused: false });
      }),
    redo: () =>
      unlessPlaying(() => {
        hand.redo();
        setSaid({ words: 'Done again.', refused: false });
      }),
    canUndo: hand.canUndo,
    canRedo: hand.canRedo,
    ...said,
  };
}
