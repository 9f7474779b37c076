import { useState } from 'react';
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
  const variants = board.variants.filter(({ author }) => author === me.participant);
  const approvals = board.approvals[me.participant] ?? [];
  const name = board.people.find(({ id }) => id === me.participant)?.name ?? '';
  return (
    <section className="sheet grid gap-3" aria-labelledby="mine">
      <h2 id="mine">What is mine</h2>
      <p>
        {name ? `The name "${name}"` : 'No name'}, {variants.length}{' '}
        {variants.length === 1 ? 'variant' : 'variants'}, {approvals.length}{' '}
        {approvals.length === 1 ? 'approval' : 'approvals'}. Nothing else of you is kept.
      </p>
      <div className="flex flex-wrap items-center gap-3">
        <button
          type="button"
          className="button"
          onClick={() =>
            save(
              `mine-on-${board.id}.json`,
              JSON.stringify({ id: me.participant, name, variants, approvals }, undefined, 2),
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
