import type * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import type { Role } from './roles';
import { ROLES } from './roles';
import { HOUSE } from './schema';

/** Questions that the server asks the document it writes itself. */

/** The role that the house knows somebody in; undefined for somebody unknown. */
export function personIn(house: Y.Doc, participant: ParticipantId): Role | undefined {
  const person = house.getMap(HOUSE.people).get(participant);
  if (typeof person !== 'object' || person === null || !('role' in person)) return undefined;
  return ROLES.find((role) => role === person.role);
}

export function countPeople(house: Y.Doc): number {
  return house.getMap(HOUSE.people).size;
}

/** Ids of all proposals whose arrival was noted. */
export function arrivalsIn(house: Y.Doc): readonly string[] {
  return [...house.getMap(HOUSE.arrived).keys()];
}

/** The place of the next proposal to arrive: after all that were noted and are still there. */
export function nextArrivalIn(house: Y.Doc): number {
  const places = [...house.getMap(HOUSE.arrived).values()];
  return places.reduce<number>(
    (next, place) => (typeof place === 'number' ? Math.max(next, place + 1) : next),
    0,
  );
}
