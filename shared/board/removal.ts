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
  LOCK_PREFIX,
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

/** Whose variant this is the id of; of anything else nobody's. */
function authorOf(id: unknown): string {
  return typeof id === 'string' && id.includes('.') ? id.slice(0, id.indexOf('.')) : '';
}

type Gone = ReadonlySet<string>;

/** A plan that plays the plain measure where it played something of theirs. */
function withoutTheirs(plan: unknown, gone: Gone): unknown {
  if (!isRecord(plan) || !isRecord(plan.variants)) return plan;
  const stays = ([id]: readonly [string, unknown]) => !gone.has(authorOf(id));
  const variants = Object.fromEntries(Object.entries(plan.variants).filter(stays));
  const plainFor = (id: unknown) => (gone.has(authorOf(id)) ? 'plain' : id);
  const passes = Array.isArray(plan.passes)
    ? plan.passes.map((pass: unknown) =>
        isRecord(pass)
          ? Object.fromEntries(Object.entries(pass).map(([at, id]) => [at, plainFor(id)]))
          : pass,
      )
    : plan.passes;
  return { ...plan, passes, variants };
}

function withoutNames(plan: unknown, gone: Gone): unknown {
  if (!isRecord(plan) || !isRecord(plan.variants)) return plan;
  const cleared = Object.entries(plan.variants).map(([id, variant]) =>
    gone.has(authorOf(id)) && isRecord(variant)
      ? ([id, { ...variant, by: '' }] as const)
      : ([id, variant] as const),
  );
  return { ...plan, variants: Object.fromEntries(cleared) };
}

/** What is played, without their names: the strokes and the turns stay until it is over, the group is playing them. */
function playedWithoutNames(played: unknown, gone: Gone): unknown {
  if (!isRecord(played)) return played;
  const plan = 'plan' in played ? withoutNames(played.plan, gone) : undefined;
  const circle = 'circle' in played ? circleWithoutNames(played.circle, gone) : undefined;
  return { ...played, ...(plan ? { plan } : {}), ...(circle ? { circle } : {}) };
}

function circleWithoutNames(circle: unknown, gone: Gone): unknown {
  if (!isRecord(circle) || !Array.isArray(circle.people)) return circle;
  const people = circle.people.map((person: unknown) =>
    isRecord(person) && gone.has(String(person.id)) ? { ...person, name: '' } : person,
  );
  return { ...circle, people };
}

/** Stands somebody, or a variant of theirs, in what was played? */
function namesThem(played: unknown, gone: Gone): boolean {
  if (!isRecord(played)) return false;
  const { plan, circle } = played;
  const variants = isRecord(plan) && isRecord(plan.variants) ? Object.keys(plan.variants) : [];
  const people: readonly unknown[] =
    isRecord(circle) && Array.isArray(circle.people) ? circle.people : [];
  return (
    variants.some((id) => gone.has(authorOf(id))) ||
    people.some((person) => isRecord(person) && gone.has(String(person.id)))
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

/** Takes people's traces out of values that leaders wrote, where they stand in one. */
function setCleared(
  map: Y.Map<unknown>,
  key: string,
  clear: (value: unknown, gone: Gone) => unknown,
  gone: Gone,
): void {
  const value = map.get(key);
  const cleared = clear(value, gone);
  if (!equalityDeep(cleared, value)) map.set(key, cleared);
}

/** Is this an order of leaders about somebody who is gone, or about a variant of theirs? */
function isAbout(key: string, value: unknown, gone: Gone): boolean {
  if (key.startsWith(CALLED_PREFIX)) return gone.has(key.slice(CALLED_PREFIX.length));
  if (key.startsWith(SAME_PREFIX))
    return gone.has(key.slice(SAME_PREFIX.length)) || gone.has(String(value));
  if (key.startsWith(HIDDEN_PREFIX)) return gone.has(authorOf(key.slice(HIDDEN_PREFIX.length)));
  return (key.startsWith(OVER_PREFIX) || key.startsWith(LOCK_PREFIX)) && gone.has(authorOf(value));
}

/** What is being played, or was, and what a leader points at. */
function forgetInTransport(transport: Y.Map<unknown>, gone: Gone): void {
  const now = transport.get('now');
  const isPlaying = isRecord(now) && now.kind === 'playing';
  for (const key of [...transport.keys()].filter((one) => one.startsWith(PLAYED_PREFIX)))
    if (isPlaying) setCleared(transport, key, playedWithoutNames, gone);
    // Nobody plays it any more.
    else if (namesThem(transport.get(key), gone)) transport.delete(key);
  const pointer = transport.get('pointer');
  if (isRecord(pointer) && gone.has(authorOf(pointer.variant)))
    transport.set('pointer', { measure: pointer.measure });
}

/**
 * Takes the traces of people who are gone out of what leaders wrote: what they were called, what was ordered about them and their variants, and
 * their variants in the published plan, which plays the plain measure there, as kept points do. Only while something is played its
 * strokes stay, without a name, until the next start.
 */
export function forgetInLead(lead: Y.Doc, gone: Gone): void {
  if (gone.size === 0) return;
  const choice = lead.getMap(LEAD.choice);
  lead.transact(() => {
    for (const [key, value] of [...choice.entries()])
      if (isAbout(key, value, gone)) choice.delete(key);
    if (choice.has('plan')) setCleared(choice, 'plan', withoutTheirs, gone);
    forgetInTransport(lead.getMap(LEAD.transport), gone);
  });
}
