import { equalityDeep } from 'lib0/function';
import type * as Y from 'yjs';
import type { Ms, ParticipantId } from '../../lib/units';
import type { Role } from './roles';
import { isParticipantId } from './roles';
import {
  CALLED_PREFIX,
  HIDDEN_PREFIX,
  HOUSE,
  LEAD,
  OVER_PREFIX,
  PLAYED_PREFIX,
  SAME_PREFIX,
} from './schema';

/** What the server writes when somebody is taken out of a board, and when a link is made new. */

/**
 * Notes in the house that somebody is gone, and forgets who they were and what they had put forward.
 * @param back may their browser come back as somebody new?
 */
export function writeGone(house: Y.Doc, participant: ParticipantId, atMs: Ms, back: boolean): void {
  house.transact(() => {
    house.getMap(HOUSE.people).delete(participant);
    const arrived = house.getMap(HOUSE.arrived);
    for (const id of [...arrived.keys()].filter((key) => key.startsWith(`${participant}.`)))
      arrived.delete(id);
    house.getMap(HOUSE.removed).set(participant, { atMs, back });
  });
}

/** Lets a browser that was sent away come back as somebody new; false if nobody of that name was sent away. */
export function writeLetBack(house: Y.Doc, participant: ParticipantId): boolean {
  const removed = house.getMap(HOUSE.removed);
  const gone = removed.get(participant);
  if (typeof gone !== 'object' || gone === null) return false;
  removed.set(participant, { ...gone, back: true });
  return true;
}

/** May this browser not come back at all? */
export function isSentAway(house: Y.Doc, participant: ParticipantId): boolean {
  const gone = house.getMap(HOUSE.removed).get(participant);
  return typeof gone === 'object' && gone !== null && !('back' in gone && gone.back === true);
}

/** Everybody who was ever taken out. */
export function goneFrom(house: Y.Doc): readonly ParticipantId[] {
  return [...house.getMap(HOUSE.removed).keys()].filter(isParticipantId);
}

/** Takes out what was noted of somebody while another server took them out. */
export function forgetGone(house: Y.Doc, participant: ParticipantId): void {
  const people = house.getMap(HOUSE.people);
  const arrived = house.getMap(HOUSE.arrived);
  const ids = [...arrived.keys()].filter((id) => id.startsWith(`${participant}.`));
  house.transact(() => {
    if (people.has(participant)) people.delete(participant);
    for (const id of ids) arrived.delete(id);
  });
}

/** Was this person taken out, whether they may come back or not? */
export function isGone(house: Y.Doc, participant: ParticipantId): boolean {
  return house.getMap(HOUSE.removed).has(participant);
}

export function writeRenewed(house: Y.Doc, role: Role, atMs: Ms): void {
  house.getMap(HOUSE.links).set(role, { role, atMs });
}

/** Forgets somebody of whom nothing is left but that they were here. */
export function forgetPerson(house: Y.Doc, participant: ParticipantId): void {
  house.getMap(HOUSE.people).delete(participant);
}

function withoutName(plan: unknown, participant: ParticipantId): unknown {
  if (typeof plan !== 'object' || plan === null || !('variants' in plan)) return plan;
  const { variants } = plan;
  if (typeof variants !== 'object' || variants === null) return plan;
  const cleared = Object.entries(variants).map(([id, variant]: [string, unknown]) =>
    id.startsWith(`${participant}.`) && typeof variant === 'object'
      ? ([id, { ...variant, by: '' }] as const)
      : ([id, variant] as const),
  );
  return { ...plan, variants: Object.fromEntries(cleared) };
}

/** What is played, without somebody's name: the strokes and the turns stay, the group is playing them. */
function playedWithoutName(played: unknown, participant: ParticipantId): unknown {
  if (typeof played !== 'object' || played === null) return played;
  const plan = 'plan' in played ? withoutName(played.plan, participant) : undefined;
  const circle = 'circle' in played ? circleWithoutName(played.circle, participant) : undefined;
  return { ...played, ...(plan ? { plan } : {}), ...(circle ? { circle } : {}) };
}

function circleWithoutName(circle: unknown, participant: ParticipantId): unknown {
  if (typeof circle !== 'object' || circle === null || !('people' in circle)) return circle;
  if (!Array.isArray(circle.people)) return circle;
  const people = circle.people.map((person: unknown) =>
    typeof person === 'object' && person !== null && 'id' in person && person.id === participant
      ? { ...person, name: '' }
      : person,
  );
  return { ...circle, people };
}

/** Takes somebody's name out of values that leaders wrote, where it stands in one. */
function setCleared(
  map: Y.Map<unknown>,
  key: string,
  clear: (value: unknown, participant: ParticipantId) => unknown,
  participant: ParticipantId,
): void {
  const value = map.get(key);
  const cleared = clear(value, participant);
  if (!equalityDeep(cleared, value)) map.set(key, cleared);
}

/**
 * Takes somebody's traces out of what leaders wrote: the name they were called, what was ordered about their variants, and their name in
 * the published plan and in what is played. The strokes of the plan stay until it is made again: the group is perhaps playing it.
 */
export function forgetInLead(lead: Y.Doc, participant: ParticipantId): void {
  const choice = lead.getMap(LEAD.choice);
  const isTheirs = (value: unknown) =>
    typeof value === 'string' && value.startsWith(`${participant}.`);
  lead.transact(() => {
    for (const [key, value] of [...choice.entries()]) {
      const about =
        key === CALLED_PREFIX + participant ||
        key === SAME_PREFIX + participant ||
        (key.startsWith(SAME_PREFIX) && value === participant) ||
        key.startsWith(`${HIDDEN_PREFIX}${participant}.`) ||
        (key.startsWith(OVER_PREFIX) && isTheirs(value));
      if (about) choice.delete(key);
    }
    if (choice.has('plan')) setCleared(choice, 'plan', withoutName, participant);
    const transport = lead.getMap(LEAD.transport);
    for (const key of [...transport.keys()])
      if (key.startsWith(PLAYED_PREFIX)) setCleared(transport, key, playedWithoutName, participant);
  });
}
