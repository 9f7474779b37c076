import type { ParticipantId } from '../../lib/units';
import type { Refusal } from '../../shared/wire/refusal';
import type { Up } from '../../shared/wire/up';
import type { Writer } from './admission';
import { refuse } from './admission';

/** An act that the server does for somebody. */
export type Act = Exclude<Up, { readonly kind: 'ask-time' }>;

interface Known {
  readonly isKnown: (participant: ParticipantId) => boolean;
  readonly isSentAway: (participant: ParticipantId) => boolean;
}

/** Why somebody may not do this; undefined if they may. Leaders act on others, and who is not only watching on themselves. */
export function admitAct(actor: Writer, act: Act, known: Known): Refusal | undefined {
  const leads = actor.role === 'lead';
  switch (act.kind) {
    case 'ask-code':
    case 'take-out-mine':
      return actor.role === 'watch' ? refuse('nobody-there') : undefined;
    case 'renew-link':
      return leads ? undefined : refuse('leaders-only');
    case 'let-back':
      if (!leads) return refuse('leaders-only');
      return known.isSentAway(act.participant) ? undefined : refuse('nobody-there');
    case 'remove-person':
      if (!leads) return refuse('leaders-only');
      // A board keeps the leader who acts; their own words they take out by `take-out-mine`.
      return act.participant !== actor.participant && known.isKnown(act.participant)
        ? undefined
        : refuse('nobody-there');
  }
}
