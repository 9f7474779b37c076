import { useState } from 'react';
import type { BoardId, Ms } from '../../../lib/units';
import type { Session } from '../session/session';
import { parseProblem } from './problem';

/** A code in two halves, to be read across. The server takes it with the hyphen and without. */
function inHalves(code: string): string {
  const half = Math.ceil(code.length / 2);
  return `${code.slice(0, half)}-${code.slice(half)}`;
}

/** One person on two browsers: a code is taken here and given there. */
export function OtherBrowser({
  board,
  code,
  session,
}: {
  readonly board: BoardId;
  readonly code: { readonly code: string; readonly untilMs: Ms } | undefined;
  readonly session: Session;
}) {
  return (
    <section className="sheet grid gap-3" aria-labelledby="browser">
      <h2 id="browser">My other browser</h2>
      <p className="flex flex-wrap items-center gap-3">
        <button type="button" className="button" onClick={() => session.act({ kind: 'ask-code' })}>
          Take a code
        </button>
        {code ? (
          <span role="status">
            <code className="text-2xl" data-testid="code">
              {inHalves(code.code)}
            </code>{' '}
            Open the join link in your other browser, come to this page and give the code. It works
            once, until {new Date(code.untilMs).toLocaleTimeString()}.
          </span>
        ) : (
          <span>makes your other browser you, so that you have one vote and not two.</span>
        )}
      </p>
      <GiveCode board={board} />
    </section>
  );
}

function GiveCode({ board }: { readonly board: BoardId }) {
  const [text, setText] = useState('');
  const [refused, setRefused] = useState('');
  const give = async () => {
    const answer = await fetch(`/api/boards/${board}/browser`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ code: text }),
    });
    // Everything on this page is somebody's; as another person it is loaded anew.
    if (answer.ok) location.reload();
    else setRefused(parseProblem(await answer.text()));
  };
  return (
    <form
      className="flex flex-wrap items-center gap-3"
      onSubmit={(event) => {
        event.preventDefault();
        give().catch(() => setRefused('The server does not answer. Try again in a moment.'));
      }}
    >
      <label className="flex flex-wrap items-center gap-2">
        I have a code from my other browser
        <input
          className="field w-40"
          value={text}
          maxLength={20}
          autoComplete="one-time-code"
          onChange={(event) => setText(event.target.value)}
        />
      </label>
      <button type="submit" className="button">
        That's me
      </button>
      {refused && <span role="alert">{refused}</span>}
    </form>
  );
}
