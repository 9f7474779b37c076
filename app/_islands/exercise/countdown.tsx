import { useEffect, useState } from 'react';
import type { Ms } from '../../../lib/units';
import type { Session } from '../session/session';
import { leftOnTheClock } from './words';

/** How often the clock is looked at: often enough that nobody's second changes late by what can be seen. */
const LOOK_MS: Ms = 100;

/** What is left until a server time, once that time is known; it ticks the same for all. */
export function Countdown({
  session,
  inTime,
  endMs,
}: {
  readonly session: Session;
  readonly inTime: boolean;
  readonly endMs: Ms;
}) {
  const [left, setLeft] = useState<string>();
  useEffect(() => {
    if (!inTime) return;
    const look = () => setLeft(leftOnTheClock(endMs - session.now()));
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [session, inTime, endMs]);
  return (
    <span role="timer" className="countdown" aria-label="time left">
      {left ?? '–:––'}
    </span>
  );
}
