/** How long after a failed try it is asked for again. */
export const AGAIN_MS = 3000;

/**
 * Is there no line, or did it break off? fetch then rejects with a TypeError, half an answer is no JSON, and a script that does not come is
 * an error of the bundler's, which has a name and no class.
 */
export function isNoLine(error: unknown): boolean {
  if (error instanceof TypeError || error instanceof SyntaxError) return true;
  return error instanceof Error && error.name === 'ChunkLoadError';
}

/**
 * Asks for `path` until `take` is content with an answer.
 * @param take told of each good answer; true: that was it
 * @returns what ends the asking
 */
export function askUntil(path: string, take: (answer: Response) => Promise<boolean>): () => void {
  const gone = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const ask = async () => {
    try {
      const answer = await fetch(path, { signal: gone.signal });
      if (answer.ok && (await take(answer))) return;
    } catch (error) {
      if (gone.signal.aborted) return;
      if (!isNoLine(error)) throw error;
    }
    if (!gone.signal.aborted) timer = setTimeout(ask, AGAIN_MS);
  };
  void ask();
  return () => {
    gone.abort();
    clearTimeout(timer);
  };
}
