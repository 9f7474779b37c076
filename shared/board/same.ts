import * as v from 'valibot';
import type * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import { higherRole } from './roles';
import type { BallotId, Board, Person, Variant } from './schema';
import { LEAD, SAME_PREFIX } from './schema';
import { participantKey } from './values';

/**
 * People whom a leader counts as one: somebody who came with two browsers. It stands in `lead` as a key for each that names the other, and
 * is taken back by deleting it: what each said and voted stays in documents of their own, and only reading puts it together.
 */

/** For each of these people the one they are said to be, where that is one of these people, too. */
function saidToBe(
  lead: Y.Doc,
  people: ReadonlySet<ParticipantId>,
): ReadonlyMap<ParticipantId, ParticipantId> {
  const pairs = [...lead.getMap(LEAD.choice).entries()].flatMap(([key, value]) => {
    if (!key.startsWith(SAME_PREFIX)) return [];
    const from = v.safeParse(participantKey, key.slice(SAME_PREFIX.length));
    const to = v.safeParse(participantKey, value);
    if (!from.success || !to.success) return [];
    const counts = people.has(from.output) && people.has(to.output) && from.output !== to.output;
    return counts ? [[from.output, to.output] as const] : [];
  });
  return new Map(pairs);
}

/**
 * Whom each of these people is counted as; who is counted as themselves is not in it. A chain leads to its end; people who are said to be
 * one another in a circle are the one of them with the least id. What names somebody who is not there says nothing.
 */
export function samePeople(
  lead: Y.Doc,
  people: ReadonlySet<ParticipantId>,
): ReadonlyMap<ParticipantId, ParticipantId> {
  const next = saidToBe(lead, people);
  const counted = new Map<ParticipantId, ParticipantId>();
  for (const start of next.keys()) {
    const way: ParticipantId[] = [];
    let at: ParticipantId | undefined = start;
    while (at !== undefined && !way.includes(at)) {
      way.push(at);
      at = next.get(at);
    }
    const circle: readonly ParticipantId[] = at === undefined ? [] : way.slice(way.indexOf(at));
    const end = [...circle].sort()[0] ?? way.at(-1) ?? start;
    if (end !== start) counted.set(start, end);
  }
  return counted;
}

/** People with those who are counted as somebody else under that one's name, in the highest of their roles. */
function peopleAsOne(
  people: readonly Person[],
  counted: ReadonlyMap<ParticipantId, ParticipantId>,
): readonly Person[] {
  const rootOf = (id: ParticipantId) => counted.get(id) ?? id;
  const groups = new Map<ParticipantId, Person[]>();
  for (const person of people) {
    const root = rootOf(person.id);
    groups.set(root, [...(groups.get(root) ?? []), person]);
  }
  return people.map((person) => {
    const root = rootOf(person.id);
    const group = groups.get(root) ?? [];
    if (group.length < 2) return person;
    const first = group.find(({ id }) => id === root);
    const name = first?.name || (group.find((one) => one.name !== '')?.name ?? '');
    const role = group.reduce((highest, one) => higherRole(highest, one.role), person.role);
    const one = { ...person, name, role };
    return person.id === root ? one : { ...one, counted: { as: root, name: person.name } };
  });
}

/** Approvals with those of people who are counted as one put together under that one, each once. */
function approvalsAsOne(
  approvals: Board['approvals'],
  counted: ReadonlyMap<ParticipantId, ParticipantId>,
): Board['approvals'] {
  const together = new Map<string, Set<BallotId>>();
  for (const [id, ids] of Object.entries(approvals)) {
    const root = counted.get(id as ParticipantId) ?? id;
    const set = together.get(root) ?? new Set();
    for (const one of ids) set.add(one);
    together.set(root, set);
  }
  return Object.fromEntries([...together].map(([id, ids]) => [id, [...ids].sort()]));
}

/** What a board says of its people, as read from their documents. */
type Voices = Pick<Board, 'people' | 'variants' | 'approvals'>;

/** The voices of a board as its leaders count them. */
export function asCounted(
  lead: Y.Doc,
  voices: Voices & { readonly hidden: readonly Variant[] },
): Voices & Pick<Board, 'apart'> & { readonly hidden: readonly Variant[] } {
  const { people, variants, hidden, approvals } = voices;
  const counted = samePeople(lead, new Set(people.map(({ id }) => id)));
  if (counted.size === 0) return { ...voices, apart: {} };
  const credited = (variant: Variant): Variant => {
    const author = counted.get(variant.author);
    return author === undefined ? variant : { ...variant, author };
  };
  const merged = new Set<string>([...counted.keys(), ...counted.values()]);
  return {
    people: peopleAsOne(people, counted),
    variants: variants.map(credited),
    hidden: hidden.map(credited),
    approvals: approvalsAsOne(approvals, counted),
    apart: Object.fromEntries([...merged].map((id) => [id, approvals[id] ?? []])),
  };
}

/** Whom somebody is counted as: mostly themselves. */
export function countedAs(board: Pick<Board, 'people'>, id: ParticipantId): ParticipantId {
  return board.people.find((person) => person.id === id)?.counted?.as ?? id;
}

/** Is this variant in the documents of this person? They alone can take it back, whoever it is credited to. */
export function isProposedBy(variant: Pick<Variant, 'id'>, id: ParticipantId): boolean {
  return variant.id.startsWith(`${id}.`);
}

/** Counts somebody as another one; undefined counts them as themselves again. */
export function writeSame(lead: Y.Doc, id: ParticipantId, as: ParticipantId | undefined): void {
  const choice = lead.getMap(LEAD.choice);
  if (as === undefined || as === id) choice.delete(SAME_PREFIX + id);
  else choice.set(SAME_PREFIX + id, as);
}
