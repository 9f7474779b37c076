import type { FamilyId } from '../../lib/embellish/family';
import type { Level } from '../../lib/hands/level';
import type { TurnLength } from '../../lib/passes/circle';
import type { ElectionRule } from '../../lib/passes/elect';
import type { Lock } from '../../lib/passes/request';
import type { Problem } from '../../lib/result';
import type { Stroke } from '../../lib/tab/measure';
import type { Transport } from '../../lib/transport/transport';
import type { PlainMeasure, Tune } from '../../lib/tune';
import type { BoardId, MeasureId, Ms, ParticipantId, VariantId } from '../../lib/units';
import type { Role } from './roles';

/** The only place that spells a key of the board's documents. Changing one is a change of `SCHEMA_VERSION`. */
export const SCHEMA_VERSION = 1;

/** `lead`: written by leaders. */
export const LEAD = {
  /** Map: title, tuning, capo, drone, meter, key, tempo, form. */
  head: 'head',
  /** Map of measure id to the measure, one value, replaced whole. One that is laid aside stays here. */
  measures: 'measures',
  /**
   * Map: passes, level, voting, plan, rule, carry, plainFirst, `over/<measure>` for each overruled measure, `lock/<pass>/<measure>` for each
   * locked cell, `plain/<pass>` for each pass that stays plain.
   */
  choice: 'choice',
  /** Map: now, pointer, `played/<name>` for what is played. */
  transport: 'transport',
  /** Map: now. */
  exercise: 'exercise',
} as const;
export const OVER_PREFIX = 'over/';
/** In `choice` too: `aside/<measure>` for each measure that is laid aside, so that laying aside and correcting strokes never undo each other. */
export const ASIDE_PREFIX = 'aside/';
/** In `choice` too: `hidden/<variant>`, `shut/<measure>`, `called/<participant>`, frozen, secretBallots. */
export const HIDDEN_PREFIX = 'hidden/';
export const SHUT_PREFIX = 'shut/';
export const CALLED_PREFIX = 'called/';
/** In `choice` too: `same/<participant>` for whoever is counted as the one that it names. */
export const SAME_PREFIX = 'same/';
export const LOCK_PREFIX = 'lock/';
export const PLAIN_PREFIX = 'plain/';
/** In `transport`. */
export const PLAYED_PREFIX = 'played/';

/** `said/<participant>`: written by that participant. */
export const SAID = {
  /** Map: name. */
  me: 'me',
  /** Map of variant id to the proposal. */
  proposals: 'proposals',
  /** Map of measure id to the claim on it. */
  claims: 'claims',
} as const;

/** `ballot/<participant>`: written by that participant while voting is open. */
export const BALLOT = {
  /** Map of an approved id to true. */
  approvals: 'approvals',
} as const;

/** `house`: written by the server. */
export const HOUSE = {
  /** Map of participant to who they are. */
  people: 'people',
  /** Map of variant id to its place in the order of arrival, from 0. */
  arrived: 'arrived',
  /** Map of participant to when they were taken out, and whether that browser may come back as somebody new. */
  removed: 'removed',
  /** Map of role to when its link was last made new. */
  links: 'links',
  /** Map: last: when a leader last returned the board to how it was, and to how it was when. */
  returned: 'returned',
} as const;

/** In a kept point (`kept.ts`), beside what its documents hold anyway. */
export const KEPT = {
  /** In `said/<participant>`: map of variant id to its measure and strokes, for those that the published plan plays. */
  planned: 'planned',
} as const;

export interface Person {
  readonly id: ParticipantId;
  readonly role: Role;
  /** What they call themselves; empty until they have said so. */
  readonly name: string;
  /** Where leaders count them as somebody else, under whose name they then stand: who that is, and what they call themselves. */
  readonly counted?: { readonly as: ParticipantId; readonly name: string };
}

/** Somebody's version of a measure. It never changes: its id is a fingerprint of what it holds. */
export interface Variant {
  readonly id: VariantId;
  readonly measure: MeasureId;
  /** Whom it is credited to: who proposed it, or the one they are counted as. */
  readonly author: ParticipantId;
  readonly strokes: readonly Stroke[];
  readonly note: string;
  /** The exercise in which it was put forward, by when that began (server ms); absent for any other. */
  readonly exercise?: Ms;
  /** Place in the order of arrival at the server; Infinity is not used, an unknown one comes after all known. */
  readonly arrived: number;
}

/** What somebody can approve: a variant, or a measure as it is. */
export type BallotId = VariantId | PlainId;
export type PlainId = `plain:${string}`;

export function plainId(measure: MeasureId): PlainId {
  return `plain:${measure}`;
}

/** The agreed passes, published whole with all that is needed to play them, so that nothing changes under anybody's fingers. */
export interface Plan {
  /** A pass: for each measure id the variant id or "plain". */
  readonly passes: readonly Readonly<Record<string, VariantId | 'plain'>>[];
  /** The variants that the passes name. */
  readonly variants: Readonly<Record<string, PlannedVariant>>;
}

export interface PlannedVariant {
  readonly measure: MeasureId;
  readonly strokes: readonly Stroke[];
  /** The proposer's name at the time. */
  readonly by: string;
}

/**
 * What is played, kept whole beside the transport from the start on: who comes later, or loads the page again, plays the same as the
 * others, whatever was agreed or corrected meanwhile. It is called by what it holds, so two leaders who start at the same moment each
 * leave theirs, and the transport names one of them.
 */
export interface Played {
  readonly tune: Tune;
  readonly plan: Plan;
  /** There while it goes round the circle; the plan then holds everybody's own variants too. */
  readonly circle?: Circle;
}

/** Everybody in turn plays what they put forward. */
export interface Circle {
  readonly turn: TurnLength;
  readonly people: readonly CirclePerson[];
}

export interface CirclePerson {
  readonly id: ParticipantId;
  /** As they were called at the start. */
  readonly name: string;
  /** What they play in their turns, one variant for each measure that they have one of. */
  readonly variants: readonly VariantId[];
}

/** A measure, or one variant of it, that a leader points at. */
export interface Pointer {
  readonly measure: MeasureId;
  readonly variant?: VariantId;
}

/** A board as plain values, ready to be handed from server to page. */
export interface Board {
  readonly id: BoardId;
  readonly tune: Tune;
  /** Measures that leaders took out of the tune, split, joined or shortened; they can come back, with their variants. */
  readonly laidAside: readonly LaidAside[];
  readonly people: readonly Person[];
  /** In order of arrival. */
  readonly variants: readonly Variant[];
  /** For each participant what they approve; together for people who are counted as one. */
  readonly approvals: Readonly<Record<string, readonly BallotId[]>>;
  /** What each of the people approves who are counted as one with somebody. */
  readonly apart: Readonly<Record<string, readonly BallotId[]>>;
  readonly voting: 'open' | 'closed' | 'agreed';
  readonly orders: Orders;
  /** Who was taken out of the board, the latest first. */
  readonly gone: readonly Gone[];
  readonly renewed: readonly Renewed[];
  /** When a leader last returned the board to how it was. */
  readonly returned?: Returned;
  readonly passes: number;
  /** What the group can play, on the scale of `lib/hands/level`. */
  readonly level: Level;
  /** How passes are made of votes. */
  readonly planning: Planning;
  /** The leader's own choice for a measure, by measure id. */
  readonly overruled: Readonly<Record<string, VariantId | 'plain'>>;
  readonly plan?: Plan;
  readonly transport: Transport;
  /** What the transport has set going; absent while nothing is, or where it cannot be read. */
  readonly played?: Played;
  readonly exercise?: Exercise;
  /** What a leader points at, for everybody who follows; absent while nobody leads the way. */
  readonly pointer?: Pointer;
  /** What stood in the documents and could not be read, or is more than counts; the rest of the board is whole without it. */
  readonly leftOut: readonly LeftOut[];
}

/** A measure that is not in the tune now. */
export interface LaidAside {
  readonly part: string;
  /** How many measures of its part stand before its place. */
  readonly index: number;
  readonly measure: PlainMeasure;
  /** Variants that wait for it, in order of arrival. */
  readonly variants: readonly Variant[];
}

/** A few minutes in which everybody tries one embellishment on measures of their own. */
export interface Exercise {
  readonly family: FamilyId;
  /** The first and last measure, as they stand on paper. */
  readonly from: MeasureId;
  readonly to: MeasureId;
  /** When it began, server ms: its name, too. */
  readonly atMs: Ms;
  readonly minutes: number;
  /** Who has a measure, by measure id. */
  readonly owners: Readonly<Record<string, ParticipantId>>;
}

/** How the leader has passes made of votes. */
export interface Planning {
  readonly rule: ElectionRule;
  /** Does somebody who lost in one measure weigh more in the next? */
  readonly carry: boolean;
  readonly plainFirst: boolean;
  readonly locks: readonly Lock[];
}

/** What leaders have ordered beside the votes. */
export interface Orders {
  /** Nobody but leaders changes anything. */
  readonly frozen: boolean;
  /** Ballots are held back from everybody but their owners until voting closes. */
  readonly secretBallots: boolean;
  /** Variants out of sight, in order of arrival. */
  readonly hidden: readonly Variant[];
  /** Measures that take no more variants. */
  readonly shut: readonly MeasureId[];
  /** What leaders call people, by participant. */
  readonly called: Readonly<Record<string, string>>;
}

/** Somebody whose words and votes were taken out, by themselves or by a leader. */
export interface Gone {
  readonly id: ParticipantId;
  /** Server ms. */
  readonly atMs: number;
  /** May their browser come back, as somebody new? */
  readonly back: boolean;
}

/** A link that was made new; the old one leads nowhere since. */
export interface Renewed {
  readonly role: Role;
  /** Server ms. */
  readonly atMs: number;
}

/** A return of the board to how it was. */
export interface Returned {
  /** Server ms. */
  readonly atMs: number;
  /** To how it was then, server ms. */
  readonly toMs: number;
}

export type LeftOut = Problem<
  | 'head'
  | 'measure'
  | 'choice'
  | 'plan'
  | 'transport'
  | 'played'
  | 'exercise'
  | 'claim'
  | 'pointer'
  | 'name'
  | 'proposal'
  | 'too-many'
  | 'approval'
  | 'person',
  { readonly document: string; readonly key?: string }
>;
