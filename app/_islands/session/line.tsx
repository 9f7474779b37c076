/** How the line to the server is: `lost` once it was there, `unopened` where it was tried several times and never was. */
export type Connection = 'connecting' | 'unopened' | 'connected' | 'lost';

/** How often a line is tried before people are told that it does not open. A server that starts anew refuses one or two. */
export const TRIES_UNSAID = 3;

/** What a page says of its line. */
export interface LineState {
  readonly connection: Connection;
  /** What the server last refused, in words, until it is put away. */
  readonly notice?: string;
  /** The server is late in keeping what is written, or in learning what others wrote. */
  readonly late: boolean;
  /** I am no longer on this board: nothing that is done here goes anywhere. */
  readonly gone: boolean;
}

/** The server speaks another version of the wire. */
export const RENEWED = 'The board was renewed. Load the page again to go on.';

/** How the line to the server is, and what it last refused: said in words, only while there is something to say. Who is gone is told as long as the page is open. */
export function Line({
  state,
  session,
}: {
  readonly state: LineState;
  readonly session: { readonly putNoticeAway: () => void } | undefined;
}) {
  return (
    <div role="status" className="grid gap-2 empty:hidden">
      {state.connection === 'lost' && !state.gone && (
        <p className="sheet">
          The line to the board is down. Go on: what you do here is kept and sent when it is back.
        </p>
      )}
      {state.connection === 'unopened' && !state.gone && (
        <p className="sheet">
          No line to the board can be opened yet, so this page stands still. Perhaps too many pages
          have the board open, of yours, from your network or altogether, or there is no place left
          on it. It is tried again by itself.
        </p>
      )}
      {state.late && !state.gone && (
        <p className="sheet">
          The server cannot keep anything at the moment. Go on: the others see what you do as soon
          as it can.
        </p>
      )}
      {state.notice && (
        <p className="sheet flex flex-wrap items-center gap-3">
          {state.notice}
          {state.gone ? (
            <a className="button" href="/">
              Start a board of your own
            </a>
          ) : (
            <button
              type="button"
              className="button button-quiet"
              onClick={() => session?.putNoticeAway()}
            >
              I have read it
            </button>
          )}
        </p>
      )}
    </div>
  );
}
