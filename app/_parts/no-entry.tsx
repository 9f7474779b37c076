import type { BoardId } from '../../lib/units';
import { cookieHeader, host } from '../_door/host';
import { Forget } from '../_islands/session/forget';

/** For somebody who came without a link or by one that was made new since, to a board that is not there, or to one that they were taken out of. */
export async function NoEntry({ board }: { readonly board: string }) {
  const id = board as BoardId;
  const cookies = await cookieHeader();
  const gone = await host().whoIsGone(id, cookies);
  if (gone)
    return (
      <main className="page">
        <h1 className="text-4xl">You are no longer on this board</h1>
        <p>
          What was yours on it has been taken out. If that was a mistake, ask its leader. If you
          took it out yourself, a link of the board lets you in again, as somebody new.
        </p>
        <p>
          <a href="/">Start a board of your own</a>
        </p>
        <Forget board={board} participant={gone} />
      </main>
    );
  if ((await host().visitorOf(id, cookies)) && !(await host().readBoard(id)))
    return (
      <main className="page">
        <h1 className="text-4xl">This board is not here any more</h1>
        <p>
          It was deleted, and its links open nothing. Ask the leader of the workshop whether there
          is another board.
        </p>
        <p>
          <a href="/">Start a board of your own</a>
        </p>
      </main>
    );
  return (
    <main className="page">
      <h1 className="text-4xl">This board needs a link</h1>
      <p>
        Ask the leader of the workshop for the join or the watch link and open it on this browser.
        If you had one before, open it again; if it opens nothing, it was made new since: ask for
        the present one.
      </p>
      <p>
        <a href="/">Start a board of your own</a>
      </p>
    </main>
  );
}
