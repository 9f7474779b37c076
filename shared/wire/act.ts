import * as v from 'valibot';
import type { ParticipantId } from '../../lib/units';
import { isParticipantId, ROLES } from '../board/roles';

/** Acts that only the server can do. Who may ask for which is the server's question. */

const participant = v.custom<ParticipantId>(isParticipantId);

/** A leader takes somebody out of the board, with everything that is theirs; their browser does not come back. */
export const removePerson = v.object({ kind: v.literal('remove-person'), participant });

/** A leader lets a browser that was sent away come back, as somebody new. */
export const letBack = v.object({ kind: v.literal('let-back'), participant });

/** A leader makes a link new; the old one leads nowhere from then on. Answered with `new-link`. */
export const renewLink = v.object({ kind: v.literal('renew-link'), role: v.picklist(ROLES) });

/** I want a second browser to be me. Answered with `code`. */
export const askCode = v.object({ kind: v.literal('ask-code') });

/** I take out everything that is mine, and am gone. */
export const takeOutMine = v.object({ kind: v.literal('take-out-mine') });

/** To the leader who made a link new, and to nobody else: where it leads. */
export const newLink = v.object({
  kind: v.literal('new-link'),
  role: v.picklist(ROLES),
  path: v.string(),
});

/** What makes another browser this person: once, and until then (server ms). */
export const code = v.object({ kind: v.literal('code'), code: v.string(), untilMs: v.number() });
