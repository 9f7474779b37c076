import { useEffect, useState } from 'react';
import type { Ms } from '../../../lib/units';
import { endOf } from '../../../shared/board/exercise';
import type { Exercise } from '../../../shared/board/schema';
import type { Session } from '../session/session';

const LOOK_MS: Ms = 250;

/** Is the exercise over, by the server's time? It changes when its time comes, with the clock and not with the board. */
export function useOver(session: Session | undefined, exercise: Exercise | undefined): boolean {
  const [over, setOver] = useState(false);
  const endMs = exercise && endOf(exercise);
  useEffect(() => {
    if (!session || endMs === undefined) return;
    const look = () => setOver(session.now() >= endMs);
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [session, endMs]);
  return over;
}
