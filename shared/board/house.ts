import type * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import type { Role } from './roles';
import { isParticipantId, ROLES } from './roles';
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

/** Whom the house knows as students. */
export function joinersIn(house: Y.Doc): readonly ParticipantId[] {
  const ids = [...house.getMap(HOUSE.people).keys()].filter(isParticipantId);
  return ids.filter((id) => personIn(house, id) === 'join');
}

/** Ids of all proposals whose arrival was noted. */
export function arrivalsIn(house: Y.Doc): readonly string[] {
  return [...house.getMap(HOUSE.arrived).keys()];
}

/** Was the arrival of this proposal noted? */
export function hasArrived(house: Y.Doc, id: string): boolean {
  return house.getMap(HOUSE.arrived).has(id);
}

/**
 * Where several servers write one house: puts proposals that are noted here but not in `kept`, the house as it is on disk, after all that
 * are, in the order that they have here. What is on disk keeps its place, whoever else noted it too.
 */
export function settleArrivals(house: Y.Doc, kept: Y.Doc): void {
  const arrived = house.getMap(HOUSE.arrived);
  const settled = kept.getMap(HOUSE.arrived);
  const placeOf = (id: string) => {
    const place = arrived.get(id);
    return typeof place === 'number' ? place : Number.POSITIVE_INFINITY;
  };
  const fresh = [...arrived.keys()].filter((id) => !settled.has(id));
  fresh.sort((a, b) => placeOf(a) - placeOf(b));
  house.transact(() => {
    for (const [id, place] of settled)
      if (arrived.has(id) && arrived.get(id) !== place) arrived.set(id, place);
    let next = nextArrivalIn(kept);
    for (const id of fresh) {
      if (arrived.get(id) !== next) arrived.set(id, next);
      next += 1;
    }
  });
}

/** The place of the next proposal to arrive: after all that were noted and are still there. */
export function nextArrivalIn(house: Y.Doc): number {
  const places = [...house.getMap(HOUSE.arrived).values()];
  return places.reduce<number>(
    (next, place) => (typeof place === 'number' ? Math.max(next, place + 1) : next),
    0,
  );
}
