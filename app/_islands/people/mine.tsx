import { useState } from 'react';
import { ownOf } from '../../../shared/board/own';
import type { Me, Session } from '../session/session';

/** Hands a text to the browser as a file. */
function save(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  URL.revokeObjectURL(address);
}

/** Everything that is mine on this board: to take away as a file, and to take out for good. */
export function Mine({ me, session }: { readonly me: Me; readonly session: Session }) {
  const [sure, setSure] = useState(false);
  const { board } = session.state();
  // The board has only what counts; what waits, is hidden or is more than counts is mine all the same.
  const own = ownOf(session.mine('said'), session.mine('ballot'));
  const { name, variants, approvals } = own;
  const taken = Object.keys(own.claims).length;
  const isOneOfTwo = board.apart[me.participant] !== undefined;
  return (
    <section className="sheet grid gap-3" aria-labelledby="mine">
      <h2 id="mine">What is mine</h2>
      <p>
        {name ? `The name "${name}"` : 'No name'}, {variants.length}{' '}
        {variants.length === 1 ? 'variant' : 'variants'}, {approvals.length}{' '}
        {approvals.length === 1 ? 'approval' : 'approvals'}
        {taken > 0 && `, ${taken} ${taken === 1 ? 'measure' : 'measures'} taken in an exercise`}.
        Nothing else of you is kept.
        {isOneOfTwo &&
          ' A leader counts you as one person with another browser of yours: what you did there is saved and taken out there.'}
      </p>
      <div className="flex flex-wrap items-center gap-3">
        <button
          type="button"
          className="button"
          onClick={() =>
            save(
              `mine-on-${board.id}.json`,
              JSON.stringify({ id: me.participant, ...own }, undefined, 2),
            )
          }
        >
          Save it as a file
        </button>
        {sure ? (
          <>
            <button
              type="button"
              className="button button-first"
              onClick={() => session.act({ kind: 'take-out-mine' })}
            >
              Take out everything now
            </button>
            <button type="button" className="button button-quiet" onClick={() => setSure(false)}>
              Leave it as it is
            </button>
            <span role="status">
              It cannot be brought back, by nobody. Save it first if you may want it.
            </span>
          </>
        ) : (
          <button type="button" className="button" onClick={() => setSure(true)}>
            Take out what is mine
          </button>
        )}
      </div>
    </section>
  );
}
