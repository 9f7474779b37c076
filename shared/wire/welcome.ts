import * as v from 'valibot';
import type { ParticipantId } from '../../lib/units';
import { isParticipantId, ROLES } from '../board/roles';

/** First word of the server on every socket: who it takes you for. `version` is the server's WIRE_VERSION. */
export const welcome = v.object({
  kind: v.literal('welcome'),
  version: v.number(),
  participant: v.custom<ParticipantId>(isParticipantId),
  role: v.picklist(ROLES),
});
