import { useEffect, useState } from 'react';
import { musicPath } from '../../../shared/board/paths';
import type { Played } from '../../../shared/board/schema';
import { askUntil } from './ask-until';

/** What is played, by its name. */
export interface NamedPlayed {
  readonly name: string;
  readonly played: Played;
}

/**
 * What is played, note by note: fetched while there is a line and somebody wants to hear it, since most people at the stand want only to
 * see it. Undefined until what is called `name` has come.
 * @param own what this page has anyway
 */
export function useMusic(
  board: string,
  name: string,
  wanted: boolean,
  connected: boolean,
  own: NamedPlayed | undefined,
): Played | undefined {
  const [fetched, setFetched] = useState<NamedPlayed>();
  const there = [own, fetched].find((one) => one?.name === name);
  const missing = wanted && connected && !there;
  useEffect(() => {
    if (!missing) return;
    return askUntil(musicPath(board, name), async (answer) => {
      const { parseMusic } = await import('./music');
      const played = parseMusic(await answer.json());
      if (played) setFetched({ name, played });
      return played !== undefined;
    });
  }, [missing, board, name]);
  return there?.played;
}
