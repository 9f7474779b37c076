import { legAt } from '../../../lib/transport/place';
import type { Position, Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import { assertNever } from '../../../lib/units';

/** Where everybody is, in words. */
export function placeWords(position: Position, transport: Transport, passes: number): string {
  switch (position.kind) {
    case 'counting':
      return 'Counting in';
    case 'playing':
      return `Pass ${position.pass} of ${passes}${isLast(position, transport) ? ', the last one' : ''}`;
    case 'paused':
      return `Waiting in pass ${position.pass} of ${passes}`;
    case 'ended':
      return 'That was it. Well played.';
    case 'stopped':
      return 'Nobody is playing yet.';
    default:
      return assertNever(position);
  }
}

function isLast({ pass }: { readonly pass: number }, transport: Transport): boolean {
  if (transport.kind === 'stopped' || transport.legs.at(-1)?.repeats) return false;
  return transport.lastPass === pass;
}

/** How much is left and what is set to come, in words; undefined when there is nothing to say. */
export function leftWords(position: Position, transport: Transport, nowMs: Ms): string | undefined {
  if (transport.kind === 'stopped' || position.kind !== 'playing') return undefined;
  const coming = transport.legs.at(-1);
  const active = legAt(transport.legs, nowMs);
  const jump = coming && coming !== active && coming.visit === 0 ? coming.pass : undefined;
  const left = transport.lastPass - position.pass;
  const words = [`${Math.round(position.tempo)} beats a minute`];
  if (coming?.repeats) words.push('this pass stays');
  else if (jump !== undefined && jump !== position.pass + 1) words.push(`then pass ${jump}`);
  else if (left > 0) words.push(`${left} more to go`);
  if (coming?.kind === 'rest') words.push('wait after this measure');
  return words.join(', ');
}
