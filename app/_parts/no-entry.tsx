/** For somebody who came without a link, or to a board that is not there. */
export function NoEntry() {
  return (
    <main className="page">
      <h1 className="text-4xl">This board needs a link</h1>
      <p>
        Ask the leader of the workshop for the join or the watch link and open it on this browser.
        If you had one before, open it again.
      </p>
      <p>
        <a href="/">Start a board of your own</a>
      </p>
    </main>
  );
}
