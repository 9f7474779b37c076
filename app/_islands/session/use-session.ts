import { useEffect, useState, useSyncExternalStore } from 'react';
import type { Ms } from '../../../lib/units';
import type { Board } from '../../../shared/board/schema';
import type { Me, SessionState } from './session';
import { Session } from './session';

const NOTHING = () => () => undefined;

/**
 * The live board for a page, starting from what the server rendered. `session` is there once scripts run; without it nothing can be
 * written.
 * @param renderedMs server time at which the page was rendered: with it the time is known before the first answer
 */
export function useSession(
  me: Me,
  rendered: Board,
  renderedMs?: Ms,
): { readonly state: SessionState; readonly session: Session | undefined } {
  const [session, setSession] = useState<Session>();
  const [first] = useState<SessionState>(() => ({
    board: rendered,
    live: false,
    connection: 'connecting',
    gone: false,
    newLinks: {},
    here: [],
    inTime: false,
    late: false,
  }));
  const [firstMs] = useState(renderedMs);
  const { id } = rendered;
  const { participant, role } = me;
  useEffect(() => {
    const opened = new Session(id, { participant, role }, first.board, firstMs);
    setSession(opened);
    return () => opened.destroy();
  }, [id, participant, role, first, firstMs]);
  const state = useSyncExternalStore(
    session?.subscribe ?? NOTHING,
    session?.state ?? (() => first),
    () => first,
  );
  return { state, session };
}
