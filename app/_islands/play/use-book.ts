import { useEffect, useState } from 'react';
import type { Book } from './book';

/** How long after a failed try the book is asked for again. */
const AGAIN_MS = 3000;

/**
 * All passes, fetched ahead while there is a line, and again when `wanted` (the name of what is shown) changes, until the server gives
 * that one. Undefined until one has come.
 */
export function useBook(path: string, wanted: string, connected: boolean): Book | undefined {
  const [book, setBook] = useState<Book>();
  const missing = connected && book?.name !== wanted;
  useEffect(() => {
    if (!missing) return;
    const gone = new AbortController();
    let timer: ReturnType<typeof setTimeout> | undefined;
    const load = async () => {
      try {
        const answer = await fetch(path, { signal: gone.signal });
        if (answer.ok) {
          const found = (await answer.json()) as Book;
          setBook(found);
          // Another one comes where this page is ahead of the server by a moment, at the end of the last pass.
          if (found.name === wanted) return;
        }
      } catch (error) {
        if (gone.signal.aborted) return;
        // fetch rejects with a TypeError when there is no line, and half an answer is no JSON; it is asked for again.
        if (!(error instanceof TypeError || error instanceof SyntaxError)) throw error;
      }
      timer = setTimeout(load, AGAIN_MS);
    };
    void load();
    return () => {
      gone.abort();
      clearTimeout(timer);
    };
  }, [missing, path, wanted]);
  return book;
}
