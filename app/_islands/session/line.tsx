import type { Session, SessionState } from './session';

/** How the line to the server is, and what it last refused: said in words, only while there is something to say. */
export function Line({
  state,
  session,
}: {
  readonly state: SessionState;
  readonly session: Session | undefined;
}) {
  return (
    <div role="status" className="grid gap-2 empty:hidden">
      {state.connection === 'lost' && !state.gone && (
        <p className="sheet">
          The line to the board is down. Go on: what you do here is kept and sent when it is back.
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
          <button
            type="button"
            className="button button-quiet"
            onClick={() => session?.putNoticeAway()}
          >
            I have read it
          </button>
        </p>
      )}
    </div>
  );
}
