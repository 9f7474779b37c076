import { equalityDeep } from 'lib0/function';
import * as v from 'valibot';
import * as Y from 'yjs';
import type { Ms, ParticipantId } from '../../lib/units';
import type { BoardDocuments } from './documents';
import { DocumentFamily } from './documents';
import { areBallotsHeld, votingIn } from './leading';
import { forgetGone, goneFrom } from './removal';
import { ballotOf, isParticipantId, saidBy } from './roles';
import type { Plan, PlannedVariant } from './schema';
import {
  CALLED_PREFIX,
  HIDDEN_PREFIX,
  HOUSE,
  KEPT,
  LEAD,
  LOCK_PREFIX,
  OVER_PREFIX,
  SAID,
  SAME_PREFIX,
} from './schema';
import { nameValue, planValue } from './values';

/**
 * How a board was at one moment: its documents, changed so that everything of one person stands in documents of their name. Who is taken
 * out of the board is then taken out of what was kept, too, by those names alone: the plan has its strokes in `said/<author>`, and what
 * leaders called people is not kept. Ballots that nobody may see are not kept at all.
 */

/** Of what leaders decide, what has its own time: the playing, and an exercise. */
const OF_THE_MOMENT: readonly string[] = [LEAD.transport, LEAD.exercise];
/** All else that leaders decide. */
const DECIDED = Object.values(LEAD).filter((root) => !OF_THE_MOMENT.includes(root));

/** Settings that say who may do what now, what people are called and who counts as one: they stay as they are when a board returns to how it was. */
const STAYS: readonly string[] = ['voting', 'frozen', 'secretBallots'];

function stays(key: string): boolean {
  return STAYS.includes(key) || key.startsWith(CALLED_PREFIX) || key.startsWith(SAME_PREFIX);
}

function authorOf(id: string): ParticipantId | undefined {
  const [author] = id.split('.');
  return isParticipantId(author) ? author : undefined;
}

/** What stands in the plan's place, whatever it is; the same object until it is replaced. */
export function rawPlanIn(lead: Y.Doc): unknown {
  return lead.getMap(LEAD.choice).get('plan');
}

/** The published plan, as far as it can be read. */
export function planIn(lead: Y.Doc): Plan | undefined {
  const read = v.safeParse(planValue, rawPlanIn(lead));
  return read.success ? read.output : undefined;
}

function copyMap(from: Y.Doc, to: Y.Doc, root: string): void {
  const target = to.getMap(root);
  for (const [key, value] of Object.entries(from.getMap(root).toJSON())) target.set(key, value);
}

function copyOf(doc: Y.Doc, into: Y.Doc): void {
  Y.applyUpdate(into, Y.encodeStateAsUpdate(doc));
}

/** The board as it is now, to be kept. */
export function keptOf(all: BoardDocuments): DocumentFamily {
  const kept = new DocumentFamily();
  const gone = new Set<string>(goneFrom(all.house));
  const there = ([owner]: readonly [ParticipantId, Y.Doc]) => !gone.has(owner);
  for (const [owner, doc] of [...all.said].filter(there)) copyOf(doc, kept.open(saidBy(owner)));
  if (!areBallotsHeld(all.lead))
    for (const [owner, doc] of [...all.ballots].filter(there))
      copyOf(doc, kept.open(ballotOf(owner)));
  for (const root of [HOUSE.people, HOUSE.arrived]) copyMap(all.house, kept.house, root);
  for (const root of DECIDED) copyMap(all.lead, kept.lead, root);
  const choice = kept.lead.getMap(LEAD.choice);
  for (const key of [...choice.keys()]) if (key.startsWith(CALLED_PREFIX)) choice.delete(key);
  choice.delete('plan');
  const plan = planIn(all.lead);
  if (!plan) return kept;
  choice.set('plan', { passes: plan.passes, variants: {} });
  for (const [id, { measure, strokes }] of Object.entries(plan.variants)) {
    const author = authorOf(id);
    if (author && !gone.has(author))
      kept.open(saidBy(author)).getMap(KEPT.planned).set(id, { measure, strokes });
  }
  return kept;
}

function plannedIn(kept: BoardDocuments): Plan['variants'] {
  const planned: Record<string, PlannedVariant> = {};
  for (const [owner, said] of kept.said) {
    const name = v.safeParse(nameValue, said.getMap(SAID.me).get('name'));
    const by = name.success ? name.output : '';
    for (const [id, value] of said.getMap(KEPT.planned).entries()) {
      // People write their documents themselves: nobody says what somebody else's variant is.
      if (authorOf(id) !== owner) continue;
      const one = typeof value === 'object' && value !== null ? { [id]: { ...value, by } } : {};
      const read = v.safeParse(planValue.entries.variants, one);
      if (read.success) Object.assign(planned, read.output);
    }
  }
  return planned;
}

function isAbout(gone: ReadonlySet<string>, key: string, value: unknown): boolean {
  const named =
    key.startsWith(OVER_PREFIX) || key.startsWith(LOCK_PREFIX)
      ? String(value)
      : key.startsWith(HIDDEN_PREFIX)
        ? key.slice(HIDDEN_PREFIX.length)
        : '';
  return gone.has(authorOf(named) ?? '');
}

/**
 * What was kept as the documents of a board that can be read. Without people who are gone since: where the plan played something of
 * theirs, it plays the plain measure.
 */
export function unfolded(kept: DocumentFamily, gone: ReadonlySet<ParticipantId>): DocumentFamily {
  for (const id of gone) {
    kept.forget(saidBy(id));
    kept.forget(ballotOf(id));
    forgetGone(kept.house, id);
  }
  const choice = kept.lead.getMap(LEAD.choice);
  for (const [key, value] of [...choice.entries()])
    if (isAbout(gone, key, value)) choice.delete(key);
  const plan = planIn(kept.lead);
  if (!plan) return kept;
  const variants = plannedIn(kept);
  const passes = plan.passes.map((pass) =>
    Object.fromEntries(
      Object.entries(pass).map(([measure, id]) => [
        measure,
        Object.hasOwn(variants, id) ? id : ('plain' as const),
      ]),
    ),
  );
  choice.set('plan', { passes, variants });
  return kept;
}

/** Makes a map what another one is, but for keys that stay. */
function makeLike(map: Y.Map<unknown>, then: Readonly<Record<string, unknown>>): void {
  for (const key of [...map.keys()]) if (!stays(key) && !Object.hasOwn(then, key)) map.delete(key);
  const now = map.toJSON();
  for (const [key, value] of Object.entries(then))
    if (!stays(key) && !equalityDeep(now[key], value)) map.set(key, value);
}

/**
 * Returns what leaders have decided to how it was: the tune, the plan, what is hidden, shut, locked and overruled, and how passes are
 * made. What others said and voted is theirs and stays, and so does what is going on now: voting, freezing, secrecy, names, the playing.
 * @param then the `lead` of an unfolded point
 */
export function returnLead(lead: Y.Doc, then: Y.Doc): void {
  lead.transact(() => {
    for (const root of DECIDED) makeLike(lead.getMap(root), then.getMap(root).toJSON());
    const choice = lead.getMap(LEAD.choice);
    if (votingIn(lead) === 'agreed' && !choice.has('plan')) choice.set('voting', 'closed');
  });
}

/** Notes in the house that the board returned to how it was. */
export function writeReturned(house: Y.Doc, atMs: Ms, toMs: Ms): void {
  house.getMap(HOUSE.returned).set('last', { atMs, toMs });
}
