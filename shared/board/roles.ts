import type { ParticipantId } from '../../lib/units';

/** What a link makes of the person who opens it. */
export type Role = 'lead' | 'join' | 'watch';
export const ROLES: readonly Role[] = ['lead', 'join', 'watch'];

export type DocumentName = 'lead' | 'house' | `said/${string}` | `ballot/${string}`;
export const LEAD_DOCUMENT: DocumentName = 'lead';
export const HOUSE_DOCUMENT: DocumentName = 'house';

const PARTICIPANT = /^[a-z0-9]{12}$/;

export function isParticipantId(value: unknown): value is ParticipantId {
  return typeof value === 'string' && PARTICIPANT.test(value);
}

export function saidBy(participant: ParticipantId): DocumentName {
  return `said/${participant}`;
}

export function ballotOf(participant: ParticipantId): DocumentName {
  return `ballot/${participant}`;
}

/** The document's name as kind and owner, or undefined if no document is called that. */
export function parseDocumentName(name: unknown):
  | { readonly name: DocumentName; readonly kind: 'lead' }
  | { readonly name: DocumentName; readonly kind: 'house' }
  | {
      readonly name: DocumentName;
      readonly kind: 'said' | 'ballot';
      readonly owner: ParticipantId;
    }
  | undefined {
  if (name === 'lead') return { name, kind: 'lead' };
  if (name === 'house') return { name, kind: 'house' };
  if (typeof name !== 'string') return undefined;
  const [kind, owner, ...more] = name.split('/');
  if (more.length > 0 || !isParticipantId(owner)) return undefined;
  if (kind === 'said') return { name: saidBy(owner), kind, owner };
  if (kind === 'ballot') return { name: ballotOf(owner), kind, owner };
  return undefined;
}

/** The higher of two roles: somebody who leads and opens the join link still leads. */
export function higherRole(a: Role, b: Role): Role {
  return ROLES.indexOf(a) <= ROLES.indexOf(b) ? a : b;
}

/** The lower of two roles. */
export function lowerRole(a: Role, b: Role): Role {
  return higherRole(a, b) === a ? b : a;
}

/**
 * May this participant write this document? A question about the document, never about what is inside an update.
 * @param votingOpen a closed vote takes no more
 */
export function mayWrite(
  role: Role,
  participant: ParticipantId,
  document: DocumentName,
  votingOpen: boolean,
): boolean {
  const parsed = parseDocumentName(document);
  if (!parsed || role === 'watch') return false;
  switch (parsed.kind) {
    case 'lead':
      return role === 'lead';
    case 'house':
      return false;
    case 'said':
      return parsed.owner === participant;
    case 'ballot':
      return parsed.owner === participant && votingOpen;
  }
}
