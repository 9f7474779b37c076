import { useEffect, useMemo, useState } from 'react';
import type { StructureChange } from '../../../lib/structure/change';
import type { Layout } from '../../../lib/structure/layout';
import { partsOf } from '../../../lib/structure/layout';
import { changeWords } from '../../../lib/structure/words';
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

const PLAN =
  'The agreed passes were made before this: they play new measures plain until the passes are made again.';

/** Has the tune a measure that the agreed passes do not know? */
function isOutside({ plan }: Board, layout: Layout): boolean {
  const known = plan?.passes[0];
  if (!known) return false;
  return partsOf(layout).some(({ measures }) =>
    measures.some(({ id }) => !Object.hasOwn(known, id)),
  );
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
  const change = (wanted: StructureChange) => {
    const made = writeStructure(session.lead, wanted);
    if (!made.ok) {
      setSaid({ words: made.problems.map(({ words }) => words).join(' '), refused: true });
      return;
    }
    const words = changeWords(wanted, made.value.before, made.value, (id) => countOf(board, id));
    const outside = isOutside(board, made.value.layout);
    setSaid({ words: outside ? `${words} ${PLAN}` : words, refused: false });
  };
  return {
    change,
    undo: () => {
      hand.undo();
      setSaid({ words: 'Taken back: the tune is as it was before.', refused: false });
    },
    redo: () => {
      hand.redo();
      setSaid({ words: 'Done again.', refused: false });
    },
    canUndo: hand.canUndo,
    canRedo: hand.canRedo,
    ...said,
  };
}
