import * as v from 'valibot';
import type * as Y from 'yjs';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';
import type { BoardDocuments } from './documents';
import { nextArrivalIn } from './house';
import type { Board, Gone, Orders, Person, Renewed, Returned, Variant } from './schema';
import { CALLED_PREFIX, HIDDEN_PREFIX, HOUSE, LEAD, SHUT_PREFIX } from './schema';
import {
  arrivedValue,
  goneValue,
  MAX_NAME,
  measureKey,
  nameValue,
  participantKey,
  renewedValue,
  returnedValue,
} from './values';

/**
 * What leaders order beside the votes. It stands in `lead`, so that whoever may lead may order, and each order can be seen and taken
 * back; what only the server can do (removing people, renewing links) stands in `house`.
 */

/** Anything but a plain yes is no. Asked with every edit. */
const on = (lead: Y.Doc, key: string): boolean => lead.getMap(LEAD.choice).get(key) === true;

/** May nobody but leaders change anything for now? */
export function isFrozen(lead: Y.Doc): boolean {
  return on(lead, 'frozen');
}

/** How far voting is. */
export function votingIn(lead: Y.Doc): Board['voting'] {
  const voting = lead.getMap(LEAD.choice).get('voting');
  return voting === 'agreed' || voting === 'closed' ? voting : 'open';
}

/** Are ballots held back from everybody but their owners? The server then sends them to nobody else. */
export function areBallotsHeld(lead: Y.Doc): boolean {
  return on(lead, 'secretBallots') && votingIn(lead) === 'open';
}

/** People whose documents were taken out of the board. */
export function goneFrom(house: Y.Doc): ReadonlySet<string> {
  return new Set(house.getMap(HOUSE.removed).keys());
}

/**
 * The documents that count: without those of people who are gone, and without ballots that are held back from this viewer. (No server
 * sends them; a browser may still hold some from before.)
 */
export function documentsFor(
  documents: BoardDocuments,
  viewer: ParticipantId | undefined,
): BoardDocuments {
  const { lead, house, said, ballots } = documents;
  const gone = goneFrom(house);
  const held = areBallotsHeld(lead);
  if (gone.size === 0 && !held) return documents;
  const stays = ([owner]: readonly [ParticipantId, Y.Doc]) => !gone.has(owner);
  const counts = (ballot: readonly [ParticipantId, Y.Doc]) =>
    stays(ballot) && (!held || ballot[0] === viewer);
  return {
    lead,
    house,
    said: new Map([...said].filter(stays)),
    ballots: new Map([...ballots].filter(counts)),
  };
}

/** Keys of a map that begin with a prefix, without it, beside their values as far as both fit. */
function entriesUnder<K extends string, T>(
  lead: Y.Doc,
  prefix: string,
  key: v.GenericSchema<unknown, K>,
  value: v.GenericSchema<unknown, T>,
): readonly (readonly [K, T])[] {
  return [...lead.getMap(LEAD.choice).entries()].flatMap(([name, raw]) => {
    if (!name.startsWith(prefix)) return [];
    const id = v.safeParse(key, name.slice(prefix.length));
    const read = v.safeParse(value, raw);
    return id.success && read.success ? [[id.output, read.output] as const] : [];
  });
}

/** Is a variant hidden, or did it come after its measure was shut? */
function isHidden(lead: Y.Doc, variant: Variant): boolean {
  return on(lead, HIDDEN_PREFIX + variant.id);
}

/** The leaders' orders, and which of these variants they leave to be seen. */
export function readOrders(
  lead: Y.Doc,
  variants: readonly Variant[],
): { readonly orders: Orders; readonly shown: readonly Variant[] } {
  const shut = new Map(entriesUnder(lead, SHUT_PREFIX, measureKey, arrivedValue));
  const inTime = variants.filter(
    ({ measure, arrived }) => arrived < (shut.get(measure) ?? Number.POSITIVE_INFINITY),
  );
  return {
    shown: inTime.filter((variant) => !isHidden(lead, variant)),
    orders: {
      frozen: isFrozen(lead),
      secretBallots: on(lead, 'secretBallots'),
      hidden: inTime.filter((variant) => isHidden(lead, variant)),
      shut: [...shut.keys()].sort(),
      called: Object.fromEntries(entriesUnder(lead, CALLED_PREFIX, participantKey, nameValue)),
    },
  };
}

/** People as the leaders call them. */
export function asCalled(people: readonly Person[], orders: Orders): readonly Person[] {
  return people.map((person) => {
    const name = orders.called[person.id];
    return name === undefined ? person : { ...person, name };
  });
}

/** Who is gone, the latest first. */
export function readGone(house: Y.Doc): readonly Gone[] {
  return [...house.getMap(HOUSE.removed).entries()]
    .flatMap(([key, raw]) => {
      const id = v.safeParse(participantKey, key);
      const value = v.safeParse(goneValue, raw);
      return id.success && value.success ? [{ id: id.output, ...value.output }] : [];
    })
    .sort((a, b) => b.atMs - a.atMs || (a.id < b.id ? -1 : 1));
}

/** Which links were made new, and when last. */
export function readRenewed(house: Y.Doc): readonly Renewed[] {
  return [...house.getMap(HOUSE.links).entries()].flatMap(([key, raw]) => {
    const value = v.safeParse(renewedValue, raw);
    return value.success && value.output.role === key ? [value.output] : [];
  });
}

/** When a leader last returned the board to how it was; undefined if none did. */
export function readReturned(house: Y.Doc): Returned | undefined {
  const value = v.safeParse(returnedValue, house.getMap(HOUSE.returned).get('last'));
  return value.success ? value.output : undefined;
}

function setOrDelete(lead: Y.Doc, key: string, value: unknown): void {
  const choice = lead.getMap(LEAD.choice);
  if (value === undefined) choice.delete(key);
  else choice.set(key, value);
}

export function writeFrozen(lead: Y.Doc, frozen: boolean): void {
  setOrDelete(lead, 'frozen', frozen || undefined);
}

export function writeSecretBallots(lead: Y.Doc, secret: boolean): void {
  setOrDelete(lead, 'secretBallots', secret || undefined);
}

/** Ends voting without making passes. */
export function writeVotingClosed(lead: Y.Doc): void {
  lead.getMap(LEAD.choice).set('voting', 'closed');
}

/** Takes a variant out of sight, out of the vote and out of the next plan; or brings it back. */
export function writeHidden(lead: Y.Doc, variant: VariantId, hidden: boolean): void {
  setOrDelete(lead, HIDDEN_PREFIX + variant, hidden || undefined);
}

/** Takes no more variants for a measure: those that arrive from now on are not shown. Or opens it again. */
export function writeShut(lead: Y.Doc, house: Y.Doc, measure: MeasureId, shut: boolean): void {
  setOrDelete(lead, SHUT_PREFIX + measure, shut ? nextArrivalIn(house) : undefined);
}

/** Calls somebody by another name; an empty one goes back to what they call themselves. */
export function writeCalled(lead: Y.Doc, participant: ParticipantId, name: string): void {
  const text = name.trim().slice(0, MAX_NAME);
  setOrDelete(lead, CALLED_PREFIX + participant, text || undefined);
}
