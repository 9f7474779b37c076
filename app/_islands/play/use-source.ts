import { useEffect, useState, useSyncExternalStore } from 'react';
import type { BoardId, Ms } from '../../../lib/units';
import type { PlayState } from '../../../shared/board/play-state';
import type { Board } from '../../../shared/board/schema';
import type { Me } from '../session/session';
import { AGAIN_MS, isNoLine } from './ask-until';
import { PlayLine } from './play-line';
import type { PlaySource, SourceState } from './source';

const NOTHING = () => () => undefined;

/** What the server rendered. */
export interface Rendered {
  readonly board: BoardId;
  readonly play: PlayState;
  /** Server time at which it was. */
  readonly ms: Ms;
  /** For a leader, who starts from the whole board. */
  readonly whole?: Board;
}

/**
 * What this page knows it from. A leader's needs more, which is loaded by itself, since most pages only follow. Where that does not come, a
 * leader follows like everybody, and it is asked for again.
 * @param use told of the source, and of the one in its place
 * @returns what ends it
 */
function openSource(
  me: Me,
  { board, play, ms, whole }: Rendered,
  use: (source: PlaySource) => void,
): () => void {
  let opened: PlaySource | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let isOver = false;
  const put = (next: PlaySource) => {
    const before = opened;
    opened = next;
    use(next);
    before?.destroy();
  };
  const lead = async (from: Board) => {
    try {
      const { Leading } = await import('./leading');
      if (!isOver) put(new Leading(board, me, from, opened?.state().play ?? play, ms));
    } catch (error) {
      if (!isNoLine(error)) throw error;
      if (isOver) return;
      if (opened === undefined) put(new PlayLine(board, me, play, ms));
      timer = setTimeout(() => void lead(from), AGAIN_MS);
    }
  };
  if (whole === undefined) put(new PlayLine(board, me, play, ms));
  else void lead(whole);
  return () => {
    isOver = true;
    clearTimeout(timer);
    opened?.destroy();
  };
}

/**
 * What is played, starting from what the server rendered. `source` is there once scripts run.
 * @param rendered as at first; what is rendered later says nothing that the source does not know
 */
export function useSource(
  me: Me,
  rendered: Rendered,
): { readonly state: SourceState; readonly source: PlaySource | undefined } {
  const [source, setSource] = useState<PlaySource>();
  const [first] = useState(rendered);
  const [before] = useState<SourceState>(() => ({
    play: rendered.play,
    connection: 'connecting',
    late: false,
    gone: false,
    inTime: false,
  }));
  const { participant, role } = me;
  useEffect(() => {
    return openSource({ participant, role }, first, setSource);
  }, [participant, role, first]);
  const state = useSyncExternalStore(
    source?.subscribe ?? NOTHING,
    source?.state ?? (() => before),
    () => before,
  );
  return { state, source };
}
