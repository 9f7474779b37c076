import { useEffect, useState } from 'react';
import { flushSync } from 'react-dom';
import type { ParticipantId } from '../../../lib/units';
import type { Book } from './book';
import { leafOf } from './book';
import { Sheet } from './sheet';

/** The whole plan, there only while it is printed. */
export function PrintedPlan({ book, me }: { readonly book: Book; readonly me: ParticipantId }) {
  const [printing, setPrinting] = useState(false);
  useEffect(() => {
    // The browser takes its picture right after the event, so it must all stand there by then.
    const begin = () => flushSync(() => setPrinting(true));
    const end = () => setPrinting(false);
    window.addEventListener('beforeprint', begin);
    window.addEventListener('afterprint', end);
    return () => {
      window.removeEventListener('beforeprint', begin);
      window.removeEventListener('afterprint', end);
    };
  }, []);
  if (!printing) return null;
  return (
    <div className="printed-plan" data-testid="printed">
      {book.passes.map((_, index) => {
        const leaf = leafOf(book, index + 1);
        return (
          leaf && (
            <section key={leaf.pass} className="printed-pass">
              <h2>Pass {leaf.pass}</h2>
              <Sheet leaf={leaf} me={me} />
            </section>
          )
        );
      })}
    </div>
  );
}
