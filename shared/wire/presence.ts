import * as v from 'valibot';
import type { ParticipantId } from '../../lib/units';
import { isParticipantId } from '../board/roles';
import { measureKey } from '../board/values';

/** What an awareness state holds: who it is and which measure they are looking at. */
export const presence = v.object({
  participant: v.custom<ParticipantId>(isParticipantId),
  measure: v.optional(measureKey),
});
export type Presence = v.InferOutput<typeof presence>;

export function parsePresence(value: unknown): Presence | undefined {
  const parsed = v.safeParse(presence, value);
  return parsed.success ? parsed.output : undefined;
}
