import type { Position } from '../../../../lib/transport/transport';
import type { Ms } from '../../../../lib/units';

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

/** Until a page without scripts should come again: at the end of the pass or of the count-in; undefined while nothing is played. */
export function secondsToNextPass(position: Position, nowMs: Ms): number | undefined {
  if (position.kind === 'playing')
    return Math.max(1, Math.ceil((position.passEndMs - nowMs) / 1000));
  if (position.kind === 'counting')
    return Math.max(1, Math.ceil((position.untilMs - nowMs) / 1000));
  return undefined;
}
