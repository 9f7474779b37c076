import { useEffect, useState } from 'react';
import { askUntil } from './ask-until';
import type { Book } from './book';

/**
 * All passes, fetched ahead while there is a line, and again when `wanted` (the name of what is shown) changes, until the server gives
 * that one. Undefined until one has come.
 */
export function useBook(path: string, wanted: string, connected: boolean): Book | undefined {
  const [book, setBook] = useState<Book>();
  const missing = connected && book?.name !== wanted;
  useEffect(() => {
    if (!missing) return;
    return askUntil(path, async (answer) => {
      const found = (await answer.json()) as Book;
      setBook(found);
      // Another one comes where this page is ahead of the server by a moment, at the end of the last pass.
      return found.name === wanted;
    });
  }, [missing, path, wanted]);
  return book;
}
