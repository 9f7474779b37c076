import * as v from 'valibot';
import type * as Y from 'yjs';
import type { TurnLength } from '../../lib/passes/circle';
import { TURN_LENGTHS, turnsOf, whoseTurn } from '../../lib/passes/circle';
import { MAX_PASSES } from '../../lib/passes/limits';
import { fingerprint } from '../../lib/tab/hash';
import { isUnderWay, positionAt } from '../../lib/transport/place';
import type { Timeline } from '../../lib/transport/timeline';
import type { Playing, Position } from '../../lib/transport/transport';
import type { Visit } from '../../lib/tune';
import { playOrder, timelineOf } from '../../lib/tune';
import type { Ms, ParticipantId, VariantId } from '../../lib/units';
import { planToPlay } from './plan-to-play';
import type { Board, CirclePerson, PlannedVariant, Played } from './schema';
import { LEAD, PLAYED_PREFIX } from './schema';
import { tuneValue, tuneValueOf } from './tune-value';
import * as values from './values';

/** Most people and variants that go round: what fits into one message, whatever a workshop has put forward. */
const MAX_PEOPLE = 300;
const MAX_VARIANTS = 300;

const circleValue = v.object({
  turn: v.picklist(TURN_LENGTHS),
  people: v.pipe(
    v.array(
      v.object({
        id: values.participantKey,
        name: values.nameValue,
        variants: v.pipe(v.array(values.variantKey), v.maxLength(MAX_VARIANTS)),
      }),
    ),
    v.minLength(1),
    v.maxLength(MAX_PEOPLE),
  ),
});

export const playedValue = v.object({
  tune: tuneValue,
  // Where nothing is agreed, the plain tune is the only pass.
  plan: v.object({
    ...values.planValue.entries,
    passes: v.pipe(v.array(values.passValue), v.minLength(1), v.maxLength(MAX_PASSES)),
  }),
  circle: v.exactOptional(circleValue),
});

/** What is played as the value that `playedValue` reads. */
export function playedValueOf({ tune, plan, circle }: Played) {
  return { tune: tuneValueOf(tune), plan, ...(circle ? { circle } : {}) };
}

/** What a board plays: what was set going, or what would be. */
export function playedOn(board: Pick<Board, 'tune' | 'plan' | 'played'>): Played {
  return board.played ?? { tune: board.tune, plan: planToPlay(board) };
}

/** What is agreed, whatever is played meanwhile. */
export function agreedOn({ tune, plan }: Pick<Board, 'tune' | 'plan'>): Played {
  return { tune, plan: planToPlay({ tune, ...(plan ? { plan } : {}) }) };
}

/** The name of what is played: the same for the same. Takes some tenths of a ms for a whole tune. */
export function nameOfPlayed({ tune, plan, circle }: Played): string {
  return fingerprint(JSON.stringify([tune, plan, circle ?? null]));
}

/** The latest variant that somebody has put forward for each measure that they have one of. */
function ownVariants(board: Board, who: ParticipantId): ReadonlyMap<string, Board['variants'][0]> {
  const own = board.variants.filter(({ author }) => author === who);
  return new Map(own.map((variant) => [variant.measure, variant]));
}

/** The board's plan, handed round these people: their own variants stand beside it, at most `MAX_VARIANTS` of them. */
export function roundTheCircle(
  board: Board,
  turn: TurnLength,
  people: readonly Pick<CirclePerson, 'id' | 'name'>[],
): Played {
  const { tune } = board;
  const plan = planToPlay(board);
  const variants: Record<string, PlannedVariant> = { ...plan.variants };
  let left = MAX_VARIANTS;
  const inCircle = people.map(({ id, name }): CirclePerson => {
    const own = [...ownVariants(board, id).values()].slice(0, left);
    left -= own.length;
    for (const { id: variant, measure, strokes } of own)
      variants[variant] = { measure, strokes, by: name };
    return { id, name, variants: own.map((one) => one.id) };
  });
  return { tune, plan: { ...plan, variants }, circle: { turn, people: inCircle } };
}

/** A measure of a pass as it is played. */
export interface Cell {
  readonly visit: Visit;
  readonly choice: VariantId | 'plain';
  /** Absent where it is plain. */
  readonly variant?: PlannedVariant;
  /** Whose turn it is, where it goes round the circle. */
  readonly turn?: Pick<CirclePerson, 'id' | 'name'>;
}

function agreedCell({ plan }: Played, visit: Visit, pass: number): Cell {
  const choice = plan.passes[pass - 1]?.[visit.measure.id] ?? 'plain';
  const variant = plan.variants[choice];
  return variant ? { visit, choice, variant } : { visit, choice: 'plain' };
}

function turnCell({ plan }: Played, visit: Visit, { id, name, variants }: CirclePerson): Cell {
  const choice = variants.find((one) => plan.variants[one]?.measure === visit.measure.id);
  const variant = choice && plan.variants[choice];
  const turn = { id, name };
  return variant ? { visit, choice, variant, turn } : { visit, choice: 'plain', turn };
}

/**
 * What a pass (from 1) plays, measure by measure. Round the circle everybody plays their own variant in their turn, and the plain measure
 * where they have none; where nobody is in a circle, everybody plays what was agreed.
 */
export function passOf(played: Played, pass: number): readonly Cell[] {
  const { circle, tune } = played;
  const visits = playOrder(tune);
  if (!circle) return visits.map((visit) => agreedCell(played, visit, pass));
  const turns = turnsOf(visits, circle.turn);
  const all = (turns.at(-1) ?? -1) + 1;
  return visits.map((visit, index) => {
    const whose = whoseTurn(turns[index] ?? 0, all, circle.people.length, pass);
    const person = circle.people[whose];
    return person ? turnCell(played, visit, person) : agreedCell(played, visit, pass);
  });
}

/** What a page shows at a moment. */
export interface Stage {
  /** What is played, while it is; what would be, before and after. */
  readonly played: Played;
  /** Of what was set going, also when it has ended. */
  readonly timeline: Timeline;
  readonly position: Position;
}

/** Where everybody is on a board at a server time, and what is on their pages. */
export function stageOf(board: Board, nowMs: Ms): Stage {
  const going = playedOn(board);
  const timeline = timelineOf(going.tune);
  const position = positionAt(board.transport, timeline, nowMs);
  const played = isUnderWay(position) ? going : agreedOn(board);
  return { played, timeline, position };
}

/** Sets it going: what is played and when, in one. What was played before is kept no longer. */
export function writeStart(lead: Y.Doc, played: Played, transport: Playing): void {
  const map = lead.getMap(LEAD.transport);
  const name = nameOfPlayed(played);
  lead.transact(() => {
    for (const key of [...map.keys()])
      if (key.startsWith(PLAYED_PREFIX) && key !== PLAYED_PREFIX + name) map.delete(key);
    // Written anew also where it stands already: another leader may be deleting it at this moment.
    map.set(PLAYED_PREFIX + name, playedValueOf(played));
    map.set('now', { ...transport, played: name });
  });
}
