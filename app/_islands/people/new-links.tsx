import { useEffect } from 'react';
import type { Role } from '../../../shared/board/roles';
import { ROLES } from '../../../shared/board/roles';
import type { Board } from '../../../shared/board/schema';
import type { Session, SessionState } from '../session/session';
import { keepBoard, keptBoards } from '../start/kept-boards';

const WORDS: Readonly<Record<Role, string>> = {
  lead: 'for other leaders',
  join: 'for students',
  watch: 'for listeners',
};

/** Links that can be made new. Whom the house knows stays (R20); whoever has only the old link, or a cookie of it, no longer comes in. */
export function NewLinks({
  board,
  state,
  session,
}: {
  readonly board: Board;
  readonly state: SessionState;
  readonly session: Session;
}) {
  const { newLinks } = state;
  useEffect(() => {
    const kept = keptBoards().find((one) => one.board === board.id);
    if (kept && Object.keys(newLinks).length > 0)
      keepBoard({ ...kept, links: { ...kept.links, ...newLinks } });
  }, [board.id, newLinks]);
  return (
    <section className="sheet grid gap-3" aria-labelledby="links">
      <h2 id="links">Links</h2>
      <p>
        A new link ends the old one: nobody comes in by it any more, nor by having opened it before
        without coming in. Leaders and students who have been in stay, with what is theirs.
        Listeners who listen now may go on until they leave; to come again they need the new link.
      </p>
      <ul className="grid gap-2">
        {ROLES.map((role) => {
          const path = newLinks[role];
          const renewed = board.renewed.find((one) => one.role === role);
          return (
            <li key={role} className="flex flex-wrap items-center gap-3" data-link={role}>
              <button
                type="button"
                className="button button-small"
                onClick={() => session.act({ kind: 'renew-link', role })}
              >
                <span>make a new {role} link</span>
              </button>
              <span className="text-soft">{WORDS[role]}</span>
              {renewed && (
                <span className="text-soft">
                  made new{' '}
                  <time dateTime={new Date(renewed.atMs).toISOString()} suppressHydrationWarning>
                    {new Date(renewed.atMs).toLocaleString()}
                  </time>
                </span>
              )}
              {path !== undefined && (
                <code className="break-all">{new URL(path, location.href).href}</code>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
