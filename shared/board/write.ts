import type * as Y from 'yjs';
import type { Level } from '../../lib/hands/level';
import type { Stroke } from '../../lib/tab/measure';
import type { Transport } from '../../lib/transport/transport';
import type { PlainMeasure, Tune } from '../../lib/tune';
import type { Bpm, MeasureId, Ms, ParticipantId, Ticks, VariantId } from '../../lib/units';
import { nextArrivalIn } from './house';
import { variantIdOf } from './paths';
import type { Role } from './roles';
import type { BallotId, Plan, Planning, Pointer } from './schema';
import { BALLOT, HOUSE, LEAD, LOCK_PREFIX, OVER_PREFIX, PLAIN_PREFIX, SAID } from './schema';
import type { MeasureValue } from './values';
import { MAX_NAME, MAX_NOTE, MAX_TITLE } from './values';

/** The effects on a board's documents. Each is one transaction on the document of its writer. */

/** Who wrote it, for the way back: what was edited by hand here. */
export const BY_HAND: unique symbol = Symbol('by hand');

/** A measure as it stands in the document. */
export function measureValueOf(measure: PlainMeasure, part: string, place: number): MeasureValue {
  const { startsAt, ticks, strokes, chord, chords, melody, endings } = measure;
  return {
    part,
    place,
    startsAt,
    ticks,
    strokes,
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords: [...chords] }),
    melody: [...melody],
    ...(endings === undefined ? {} : { endings: [...endings] }),
  };
}

/** The tune of a new board; what was there before under the same measure ids is replaced whole. */
export function writeTune(lead: Y.Doc, tune: Tune): void {
  lead.transact(() => {
    const head = lead.getMap(LEAD.head);
    const { title, neck, meter, key, tempo, form } = tune;
    const fields = { title, tuning: neck.tuning.id, capo: neck.capo, drone: neck.drone };
    const more = { meter: meter.name, key, tempo, form: [...form] };
    for (const [name, value] of Object.entries({ ...fields, ...more })) head.set(name, value);
    const measures = lead.getMap(LEAD.measures);
    let place = 0;
    for (const part of tune.parts) {
      for (const measure of part.measures) {
        measures.set(measure.id, measureValueOf(measure, part.letter, place));
        place += 1;
      }
    }
  });
}

export function writeName(said: Y.Doc, name: string): void {
  said.getMap(SAID.me).set('name', name.trim().slice(0, MAX_NAME));
}

/** Puts a variant forward. The same strokes for the same measure by the same person are one variant. */
export function writeProposal(
  said: Y.Doc,
  author: ParticipantId,
  proposal: {
    readonly measure: MeasureId;
    readonly strokes: readonly Stroke[];
    readonly note: string;
    /** The exercise that it is made in, if any. */
    readonly exercise?: Ms | undefined;
  },
): VariantId {
  const { measure, strokes, exercise } = proposal;
  const id = variantIdOf(author, measure, strokes);
  const note = proposal.note.trim().slice(0, MAX_NOTE);
  const made = exercise === undefined ? {} : { exercise };
  said.getMap(SAID.proposals).set(id, { measure, strokes, note, ...made });
  return id;
}

export function takeBackProposal(said: Y.Doc, id: VariantId): void {
  said.getMap(SAID.proposals).delete(id);
}

export function writeApproval(ballot: Y.Doc, id: BallotId, approves: boolean): void {
  const approvals = ballot.getMap(BALLOT.approvals);
  if (approves) approvals.set(id, true);
  else approvals.delete(id);
}

export function writePasses(lead: Y.Doc, passes: number): void {
  lead.getMap(LEAD.choice).set('passes', passes);
}

export function writeLevel(lead: Y.Doc, level: Level): void {
  lead.getMap(LEAD.choice).set('level', level);
}

/** The tune's own name and tempo, as far as they change. */
export function writeHead(
  lead: Y.Doc,
  change: { readonly title?: string; readonly tempo?: Bpm },
): void {
  const head = lead.getMap(LEAD.head);
  lead.transact(() => {
    if (change.title !== undefined) head.set('title', change.title.trim().slice(0, MAX_TITLE));
    if (change.tempo !== undefined) head.set('tempo', change.tempo);
  });
}

/** Other strokes for a plain measure, with where its melody's notes begin in them; its place, chord and endings stay. */
export function writePlain(
  lead: Y.Doc,
  measure: MeasureId,
  strokes: readonly Stroke[],
  melody: readonly Ticks[],
): void {
  const measures = lead.getMap(LEAD.measures);
  const value = measures.get(measure);
  if (typeof value !== 'object' || value === null) return;
  const plain = { ...value, strokes, melody: [...melody] };
  lead.transact(() => measures.set(measure, plain), BY_HAND);
}

/** Where the melody's notes begin in a plain measure, as its leader hears it; its strokes stay as they are. */
export function writeMelody(lead: Y.Doc, measure: MeasureId, melody: readonly Ticks[]): void {
  const measures = lead.getMap(LEAD.measures);
  const value = measures.get(measure);
  if (typeof value !== 'object' || value === null) return;
  lead.transact(() => measures.set(measure, { ...value, melody: [...melody] }), BY_HAND);
}

/** The leader's own choice for a measure; undefined goes back to the votes. */
export function writeOverruled(
  lead: Y.Doc,
  measure: MeasureId,
  chosen: VariantId | 'plain' | undefined,
): void {
  const choice = lead.getMap(LEAD.choice);
  if (chosen === undefined) choice.delete(OVER_PREFIX + measure);
  else choice.set(OVER_PREFIX + measure, chosen);
}

/** How passes are made of votes, as far as it changes. */
export function writePlanning(
  lead: Y.Doc,
  change: Partial<Pick<Planning, 'rule' | 'carry' | 'plainFirst'>>,
): void {
  const choice = lead.getMap(LEAD.choice);
  lead.transact(() => {
    for (const [key, value] of Object.entries(change)) choice.set(key, value);
  });
}

/** Locks cells of the plan (a choice) or frees them (undefined), all at once. */
export function writeLocks(
  lead: Y.Doc,
  cells: readonly {
    readonly pass: number;
    readonly measure: MeasureId;
    readonly choice: VariantId | 'plain' | undefined;
  }[],
): void {
  const choices = lead.getMap(LEAD.choice);
  lead.transact(() => {
    for (const { pass, measure, choice } of cells) {
      const key = `${LOCK_PREFIX}${pass}/${measure}`;
      if (choice === undefined) choices.delete(key);
      else choices.set(key, choice);
    }
  });
}

/** Keeps a pass plain throughout, or lets it be varied again. */
export function writePlainPass(lead: Y.Doc, pass: number, plain: boolean): void {
  const choice = lead.getMap(LEAD.choice);
  if (plain) choice.set(`${PLAIN_PREFIX}${pass}`, true);
  else choice.delete(`${PLAIN_PREFIX}${pass}`);
}

/** Closes the vote and publishes the plan it makes. */
export function writeAgreed(lead: Y.Doc, plan: Plan): void {
  lead.transact(() => {
    const choice = lead.getMap(LEAD.choice);
    choice.set('voting', 'agreed');
    choice.set('plan', plan);
  });
}

/** Opens the vote again; the published plan stays until the next one. */
export function writeVotingOpen(lead: Y.Doc): void {
  lead.getMap(LEAD.choice).set('voting', 'open');
}

/** Points at a measure or a variant for everybody who follows; undefined points no longer. */
export function writePointer(lead: Y.Doc, pointer: Pointer | undefined): void {
  const transport = lead.getMap(LEAD.transport);
  if (pointer) transport.set('pointer', pointer);
  else transport.delete('pointer');
}

export function writeTransport(lead: Y.Doc, transport: Transport): void {
  lead.getMap(LEAD.transport).set('now', transport);
}

/** The server notes who is here and in which role. */
export function writePerson(house: Y.Doc, participant: ParticipantId, role: Role): void {
  const people = house.getMap(HOUSE.people);
  people.set(participant, { role });
}

/** The server notes that proposals have arrived, in this order after all that are there; says whether anything was new. */
export function writeArrivals(house: Y.Doc, ids: readonly string[]): boolean {
  const arrived = house.getMap(HOUSE.arrived);
  const fresh = ids.filter((id) => !arrived.has(id));
  if (fresh.length === 0) return false;
  house.transact(() => {
    let next = nextArrivalIn(house);
    for (const id of fresh) {
      arrived.set(id, next);
      next += 1;
    }
  });
  return true;
}
