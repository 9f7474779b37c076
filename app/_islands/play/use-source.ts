import { useEffect, useState, useSyncExternalStore } from 'react';
import type { BoardId, Ms } from '../../../lib/units';
import type { PlayState } from '../../../shared/board/play-state';
import type { Board } from '../../../shared/board/schema';
import type { Me } from '../session/session';
import { isNoLine } from './ask-until';
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
 * What a leader's page knows it from; what that needs is loaded by itself, since most pages only follow. Where it does not come, a leader
 * follows like everybody: the page that is there goes on.
 */
async function open(me: Me, { board, play, ms, whole }: Rendered): Promise<PlaySource> {
  if (whole !== undefined)
    try {
      const { Leading } = await import('./leading');
      return new Leading(board, me, whole, play, ms);
    } catch (error) {
      if (!isNoLine(error)) throw error;
    }
  return new PlayLine(board, me, play, ms);
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
    let opened: PlaySource | undefined;
    let isOver = false;
    void open({ participant, role }, first).then((next) => {
      if (isOver) next.destroy();
      else {
        opened = next;
        setSource(next);
      }
    });
    return () => {
      isOver = true;
      opened?.destroy();
    };
  }, [participant, role, first]);
  const state = useSyncExternalStore(
    source?.subscribe ?? NOTHING,
    source?.state ?? (() => before),
    () => before,
  );
  return { state, source };
}
