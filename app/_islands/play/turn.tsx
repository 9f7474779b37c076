import { playPath } from '../../../shared/board/paths';

/** The way to the other passes while nobody plays: links, so that they work without scripts too. */
export function Turn({
  board,
  at,
  passes,
  turn,
}: {
  readonly board: string;
  readonly at: number;
  readonly passes: number;
  /** Turns the page here; returns false if it cannot. */
  readonly turn: (pass: number) => boolean;
}) {
  const to = (pass: number, words: string) => (
    <a
      className="button button-quiet"
      href={`${playPath(board)}?pass=${pass}`}
      onClick={(event) => {
        if (turn(pass)) event.preventDefault();
      }}
    >
      {words}
    </a>
  );
  return (
    <nav className="flex flex-wrap gap-3" aria-label="Passes">
      {at > 1 && to(at - 1, `Back to pass ${at - 1}`)}
      {at < passes && to(at + 1, `On to pass ${at + 1}`)}
      {passes > 1 && (
        <a className="button button-quiet" href={`${playPath(board)}?pass=all`}>
          All passes on one page
        </a>
      )}
    </nav>
  );
}
