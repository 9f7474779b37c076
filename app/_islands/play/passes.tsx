import type { ReactNode } from 'react';
import type { Book } from './book';
import { leafOf } from './book';
import { Sheet } from './sheet';

/** A pass as the server rendered it with the page, or out of the book that was fetched ahead. */
export type Rendered = ReadonlyMap<number, ReactNode>;

/** The pass that is played (or looked at) and the one after it. A pass keeps its place in the page when it comes to be the first. */
export function Passes({
  at,
  passes,
  rendered,
  book,
}: {
  readonly at: number;
  readonly passes: number;
  readonly rendered: Rendered;
  readonly book: Book | undefined;
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
      <OnePass pass={pass} rendered={rendered} book={book} />
    </section>
  ));
}

function OnePass({
  pass,
  rendered,
  book,
}: {
  readonly pass: number;
  readonly rendered: Rendered;
  readonly book: Book | undefined;
}) {
  const leaf = book && leafOf(book, pass);
  if (leaf) return <Sheet leaf={leaf} />;
  return rendered.get(pass) ?? <p className="text-soft">This pass is still on its way.</p>;
}
