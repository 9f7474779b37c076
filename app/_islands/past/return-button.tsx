'use client';

import { useState } from 'react';
import { boardPath, returnPath } from '../../../shared/board/paths';
import { parseProblem } from '../people/problem';

/** Returns the board to how it was at a point, once its leader has said so twice; then goes there. */
export function ReturnButton({ board, point }: { readonly board: string; readonly point: number }) {
  const [sure, setSure] = useState(false);
  const [refused, setRefused] = useState('');
  const go = async () => {
    const answer = await fetch(returnPath(board, point), { method: 'POST' });
    if (answer.ok) location.assign(boardPath(board));
    else setRefused(parseProblem(await answer.text()));
  };
  if (!sure)
    return (
      <p>
        <button type="button" className="button button-first" onClick={() => setSure(true)}>
          Return the board to this
        </button>
      </p>
    );
  return (
    <p className="flex flex-wrap items-center gap-3">
      <button
        type="button"
        className="button button-first"
        onClick={() =>
          void go().catch(() => setRefused('The server does not answer. Try again in a moment.'))
        }
      >
        Return now, for everybody
      </button>
      <button type="button" className="button button-quiet" onClick={() => setSure(false)}>
        Leave it as it is
      </button>
      <span role="status">How it is now is kept first, so that you can come back to it.</span>
      {refused && <span role="alert">{refused}</span>}
    </p>
  );
}
