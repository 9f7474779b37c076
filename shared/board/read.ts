import * as v from 'valibot';
import type * as Y from 'yjs';
import type { Level } from '../../lib/hands/level';
import type { Lock } from '../../lib/passes/request';
import { partsOf } from '../../lib/structure/layout';
import type { Transport } from '../../lib/transport/transport';
import type { BoardId, MeasureId, ParticipantId, VariantId } from '../../lib/units';
import type { BoardDocuments } from './documents';
import { readExercise } from './exercise';
import { readHead } from './head';
import { laidAsideOf, layoutPartsIn, playableForm } from './layout';
import {
  asCalled,
  documentsFor,
  readGone,
  readOrders,
  readRenewed,
  readReturned,
  votingIn,
} from './leading';
import type { Report, Schema } from './parsed';
import { read, remembering } from './parsed';
import { variantIdOf } from './paths';
import { playedValue } from './played';
import { ballotOf, HOUSE_DOCUMENT, LEAD_DOCUMENT, saidBy } from './roles';
import { asCounted } from './same';
import type {
  BallotId,
  Board,
  LeftOut,
  Person,
  PlainId,
  Plan,
  Planning,
  Played,
  Pointer,
  Variant,
} from './schema';
import {
  BALLOT,
  HOUSE,
  LEAD,
  LOCK_PREFIX,
  OVER_PREFIX,
  PLAIN_PREFIX,
  PLAYED_PREFIX,
  SAID,
} from './schema';
import * as values from './values';

const proposals = remembering(values.proposalValue);
const plans = remembering<Plan>(values.planValue);
const transports = remembering<Transport>(values.transportValue);
const playeds = remembering<Played>(playedValue);

function readPeople(documents: BoardDocuments, report: Report): readonly Person[] {
  const people: Person[] = [];
  for (const [key, value] of documents.house.getMap(HOUSE.people).entries()) {
    const where = { document: HOUSE_DOCUMENT, key };
    const id = read(values.participantKey, key, report, 'person', where);
    const person = read(values.personValue, value, report, 'person', where);
    if (id === undefined || person === undefined) continue;
    const name = documents.said.get(id)?.getMap(SAID.me).get('name') ?? '';
    const document = saidBy(id);
    people.push({
      id,
      role: person.role,
      name: read(values.nameValue, name, report, 'name', { document, key: 'name' }) ?? '',
    });
  }
  return people.sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** What somebody has put forward, in order of arrival, as far as it counts. */
function countedProposals(
  author: ParticipantId,
  said: Y.Doc,
  arrived: Y.Map<unknown>,
  report: Report,
): readonly (readonly [string, unknown])[] {
  const proposals = said.getMap(SAID.proposals);
  const all = [...proposals.keys()];
  if (all.length <= values.MAX_VARIANTS) return [...proposals.entries()];
  const words = `Of what one person puts forward the first ${values.MAX_VARIANTS} variants count; ${all.length - values.MAX_VARIANTS} more are left out.`;
  report({ code: 'too-many', where: { document: saidBy(author) }, words });
  const places = new Map(all.map((id) => [id, arrivedIn(arrived, id)]));
  const place = (id: string) => places.get(id) ?? LAST;
  return all
    .sort((a, b) => place(a) - place(b) || (a < b ? -1 : 1))
    .slice(0, values.MAX_VARIANTS)
    .map((id) => [id, proposals.get(id)] as const);
}

/** Place in the order of arrival of what was never noted: after all the others. */
const LAST = Number.MAX_SAFE_INTEGER;

function arrivedIn(arrived: Y.Map<unknown>, id: string): number {
  const place = arrived.get(id);
  return place !== undefined && v.is(values.arrivedValue, place) ? place : LAST;
}

function readVariants(
  documents: BoardDocuments,
  measures: ReadonlySet<MeasureId>,
  report: Report,
): readonly Variant[] {
  const arrived = documents.house.getMap(HOUSE.arrived);
  const variants: Variant[] = [];
  for (const [author, said] of documents.said) {
    for (const [key, value] of countedProposals(author, said, arrived, report)) {
      const where = { document: saidBy(author), key };
      const proposal = read(proposals, value, report, 'proposal', where);
      if (!proposal) continue;
      const id = variantIdOf(author, proposal.measure, proposal.strokes);
      if (id !== key) {
        report({ code: 'proposal', where, words: 'A proposal does not hold what its name says.' });
        continue;
      }
      if (!measures.has(proposal.measure)) continue;
      variants.push({ id, author, ...proposal, arrived: arrivedIn(arrived, id) });
    }
  }
  return variants.sort((a, b) => a.arrived - b.arrived || (a.id < b.id ? -1 : 1));
}

function readApprovals(
  documents: BoardDocuments,
  variants: readonly Variant[],
  measures: ReadonlySet<MeasureId>,
  report: Report,
): Board['approvals'] {
  const known = new Set<string>(variants.map((variant) => variant.id));
  const approvals: Record<string, readonly BallotId[]> = {};
  for (const [voter, ballot] of documents.ballots) {
    const ids: BallotId[] = [];
    for (const [key, value] of ballot.getMap(BALLOT.approvals).entries()) {
      const fits = value === true && key.length < 64;
      if (!fits) {
        const where = { document: ballotOf(voter), key: key.slice(0, 64) };
        report({ code: 'approval', where, words: 'An approval cannot be read.' });
      } else if (known.has(key)) ids.push(key as VariantId);
      else if (key.startsWith('plain:') && measures.has(key.slice(6) as MeasureId))
        ids.push(key as PlainId);
    }
    if (ids.length > 0) approvals[voter] = ids.sort();
  }
  return approvals;
}

function readOverruled(lead: Y.Doc, report: Report): Board['overruled'] {
  const overruled: Record<string, VariantId | 'plain'> = {};
  for (const [key, value] of lead.getMap(LEAD.choice).entries()) {
    if (!key.startsWith(OVER_PREFIX)) continue;
    const where = { document: LEAD_DOCUMENT, key };
    const id = read(values.measureKey, key.slice(OVER_PREFIX.length), report, 'choice', where);
    const chosen = read(values.overruledValue, value, report, 'choice', where);
    if (id !== undefined && chosen !== undefined) overruled[id] = chosen;
  }
  return overruled;
}

const lockKeys = v.tuple([values.passKey, values.measureKey]);

function readLocks(lead: Y.Doc, report: Report): readonly Lock[] {
  const locks: Lock[] = [];
  for (const [key, value] of lead.getMap(LEAD.choice).entries()) {
    const where = { document: LEAD_DOCUMENT, key };
    if (key.startsWith(PLAIN_PREFIX)) {
      const pass = read(values.passKey, key.slice(PLAIN_PREFIX.length), report, 'choice', where);
      if (pass !== undefined) locks.push({ kind: 'plain-pass', pass });
    }
    if (key.startsWith(LOCK_PREFIX)) {
      const place = read(
        lockKeys,
        key.slice(LOCK_PREFIX.length).split('/'),
        report,
        'choice',
        where,
      );
      const choice = read(values.overruledValue, value, report, 'choice', where);
      if (place && choice) locks.push({ kind: 'cell', pass: place[0], measure: place[1], choice });
    }
  }
  return locks.sort((a, b) => a.pass - b.pass || (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
}

function readPlanning(lead: Y.Doc, report: Report): Planning {
  const choice = lead.getMap(LEAD.choice);
  const one = <T>(schema: Schema<T>, key: string, usual: T): T =>
    choice.has(key)
      ? (read(schema, choice.get(key), report, 'choice', { document: LEAD_DOCUMENT, key }) ?? usual)
      : usual;
  return {
    rule: one(values.ruleValue, 'rule', DEFAULT_PLANNING.rule),
    carry: one(values.switchValue, 'carry', DEFAULT_PLANNING.carry),
    plainFirst: one(values.switchValue, 'plainFirst', DEFAULT_PLANNING.plainFirst),
    locks: readLocks(lead, report),
  };
}

function readPlan(lead: Y.Doc, report: Report): Plan | undefined {
  const value = lead.getMap(LEAD.choice).get('plan');
  if (value === undefined || value === null) return undefined;
  const where = { document: LEAD_DOCUMENT, key: 'plan' };
  return read(plans, value, report, 'plan', where);
}

function readPointer(lead: Y.Doc, report: Report): Pointer | undefined {
  const value = lead.getMap(LEAD.transport).get('pointer');
  if (value === undefined) return undefined;
  const where = { document: LEAD_DOCUMENT, key: 'pointer' };
  return read<Pointer>(values.pointerValue, value, report, 'pointer', where);
}

function readTransport(lead: Y.Doc, report: Report): Transport {
  const value = lead.getMap(LEAD.transport).get('now') ?? { kind: 'stopped' };
  const where = { document: LEAD_DOCUMENT, key: 'now' };
  const read1 = read(transports, value, report, 'transport', where);
  return read1 ?? { kind: 'stopped' };
}

function readPlayed(lead: Y.Doc, transport: Transport, report: Report): Played | undefined {
  if (transport.kind === 'stopped' || transport.played === undefined) return undefined;
  const key = PLAYED_PREFIX + transport.played;
  const value = lead.getMap(LEAD.transport).get(key);
  if (value === undefined) return undefined;
  const where = { document: LEAD_DOCUMENT, key };
  return read(playeds, value, report, 'played', where);
}

/** Is voting open on this board? What the server asks before it takes a ballot. */
export function isVotingOpen(lead: Y.Doc): boolean {
  return votingIn(lead) === 'open';
}

/** Ids of all proposals in a `said` document, whether they parse or not, in the order of their ids. */
export function proposalIdsIn(said: Y.Doc): readonly string[] {
  return [...said.getMap(SAID.proposals).keys()].sort();
}

/**
 * The board that these documents hold, as plain values. What does not parse is left out and reported in `leftOut`, and the rest is
 * whole; undefined while the tune's head is not there (not loaded yet, or no board).
 * @param viewer who looks: while ballots are held back, theirs is the only one that is read
 */
export function readBoard(
  id: BoardId,
  all: BoardDocuments,
  viewer?: ParticipantId,
): Board | undefined {
  const documents = documentsFor(all, viewer);
  const leftOut: LeftOut[] = [];
  const report: Report = (problem) => {
    if (leftOut.length < MAX_LEFT_OUT) leftOut.push(problem);
  };
  const { lead } = documents;
  const head = readHead(lead, report);
  if (!head) return undefined;
  const layout = layoutPartsIn(lead, report);
  const parts = partsOf({ parts: layout });
  const measures = new Set(parts.flatMap((part) => part.measures.map((measure) => measure.id)));
  const known = layout.flatMap(({ entries }) => entries.map(({ measure }) => measure.id));
  const proposed = readVariants(documents, new Set(known), report);
  const { orders, shown } = readOrders(lead, proposed);
  const variants = shown.filter((variant) => measures.has(variant.measure));
  const passes = lead.getMap(LEAD.choice).get('passes') ?? DEFAULT_PASSES;
  const passesWhere = { document: LEAD_DOCUMENT, key: 'passes' };
  const level = lead.getMap(LEAD.choice).get('level') ?? DEFAULT_LEVEL;
  const levelWhere = { document: LEAD_DOCUMENT, key: 'level' };
  const plan = readPlan(lead, report);
  const pointer = readPointer(lead, report);
  const voices = asCounted(lead, {
    people: asCalled(readPeople(documents, report), orders),
    variants,
    hidden: orders.hidden,
    approvals: readApprovals(documents, variants, measures, report),
  });
  const returned = readReturned(documents.house);
  const transport = readTransport(lead, report);
  const played = readPlayed(lead, transport, report);
  const exercise = readExercise(documents, report);
  return {
    id,
    tune: { ...head, parts, form: playableForm(head.form, parts) },
    laidAside: laidAsideOf(layout, shown),
    people: voices.people,
    variants: voices.variants,
    approvals: voices.approvals,
    apart: voices.apart,
    voting: votingIn(lead),
    orders: { ...orders, hidden: voices.hidden },
    gone: readGone(documents.house),
    renewed: readRenewed(documents.house),
    ...(returned ? { returned } : {}),
    passes: read(values.passesValue, passes, report, 'choice', passesWhere) ?? DEFAULT_PASSES,
    level: read(values.levelValue, level, report, 'choice', levelWhere) ?? DEFAULT_LEVEL,
    planning: readPlanning(lead, report),
    overruled: readOverruled(lead, report),
    ...(plan ? { plan } : {}),
    transport,
    ...(played ? { played } : {}),
    ...(exercise ? { exercise } : {}),
    ...(pointer ? { pointer } : {}),
    leftOut,
  };
}

/** What is told of what could not be read: the leaders' things come first, and nobody reads a thousand lines. */
export const MAX_LEFT_OUT = 100;

/** How many passes a new board plans. Common practice: a few times through for a first try. */
const DEFAULT_PASSES = 4;

/** What a group is taken to play until its leader says otherwise: people who know a few simple tunes. */
const DEFAULT_LEVEL: Level = 2;

/** Everybody gets a share, who lost weighs more next time, and the tune comes first. */
const DEFAULT_PLANNING: Omit<Planning, 'locks'> = {
  rule: 'equal-shares',
  carry: true,
  plainFirst: true,
};
