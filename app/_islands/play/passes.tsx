import type { ParticipantId } from '../../../lib/units';
import type { Book } from './book';
import { leafOf } from './book';
import { Sheet } from './sheet';

/** The pass that is played (or looked at) and the one after it. A pass keeps its place in the page when it comes to be the first. */
export function Passes({
  at,
  passes,
  books,
  me,
}: {
  readonly at: number;
  readonly passes: number;
  /** Where a pass is looked for, one book after the other. */
  readonly books: readonly Book[];
  readonly me: ParticipantId;
}) {
  const shown = [at, at + 1].filter((pass) => pass <= passes);
  return shown.map((pass) => (
    <section
      key={pass}
      className={pass === at ? 'pass-now' : 'pass-next'}
      aria-labelledby={`pass-${pass}`}
    >
      <h2 id={`pass-${pass}`}>
        {pass === at ? '' : 'Coming: '}Pass {pass}
      </h2>
      <OnePass pass={pass} books={books} me={me} />
    </section>
  ));
}

function OnePass({
  pass,
  books,
  me,
}: {
  readonly pass: number;
  readonly books: readonly Book[];
  readonly me: ParticipantId;
}) {
  const leaf = books.map((book) => leafOf(book, pass)).find((found) => found !== undefined);
  if (!leaf) return <p className="text-soft">This pass is still on its way.</p>;
  return <Sheet leaf={leaf} me={me} />;
}
