import { boardPath } from '../../../shared/board/paths';
import type { KeptBoard } from './kept-boards';

/** The demo to look around in, and the boards that were started on this browser. */
export function Beside({
  busy,
  kept,
  openDemo,
}: {
  readonly busy: boolean;
  readonly kept: readonly KeptBoard[];
  readonly openDemo: () => Promise<void>;
}) {
  return (
    <div className="grid gap-6">
      <section className="sheet grid gap-3">
        <h2 className="text-2xl">Look around first</h2>
        <p>
          A tune of our own with an invented workshop around it: a few variants are up, and the vote
          is open.
        </p>
        <button
          type="button"
          className="button justify-self-start"
          disabled={busy}
          onClick={() => void openDemo()}
        >
          Open the demo
        </button>
      </section>
      <section className="sheet grid gap-3">
        <h2 className="text-2xl">Started on this browser</h2>
        {kept.length === 0 ? (
          <p className="text-soft">
            Boards that you start here are listed here. To join somebody's board, open the link they
            gave you.
          </p>
        ) : (
          <ul className="grid gap-1">
            {kept.map((board) => (
              <li key={board.board}>
                <a href={boardPath(board.board)}>{board.title}</a>
              </li>
            ))}
          </ul>
        )}
      </section>
    </div>
  );
}
