import type { Position } from '../../../../lib/transport/transport';
import type { Ms } from '../../../../lib/units';
import { assertNever } from '../../../../lib/units';

/** The pass to render: the one that is asked for, else the one that is being played, else the first. From 1. */
export function passToShow(
  asked: string | readonly string[] | undefined,
  position: Position,
  passes: number,
): number {
  const number = typeof asked === 'string' && /^\d{1,3}$/.test(asked) ? Number(asked) : undefined;
  const playing = position.kind === 'stopped' || position.kind === 'ended' ? 1 : position.pass;
  return Math.min(Math.max(1, number ?? playing), passes);
}

/** How soon a page without scripts looks again whether a start was pressed, or whether it goes on. */
const WAITING_SECONDS = 5;
const STOPPED_SECONDS = 20;

/** Until a page without scripts should come again: at the end of the pass or of the count-in, and now and then while nothing is played. */
export function secondsToNextPass(position: Position, nowMs: Ms): number {
  const until = (atMs: Ms) => Math.max(1, Math.ceil((atMs - nowMs) / 1000));
  switch (position.kind) {
    case 'playing':
      return until(position.passEndMs);
    case 'counting':
      return until(position.untilMs);
    case 'paused':
      return WAITING_SECONDS;
    case 'stopped':
    case 'ended':
      return STOPPED_SECONDS;
    default:
      return assertNever(position);
  }
}
