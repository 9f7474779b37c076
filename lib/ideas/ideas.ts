import type { FamilyId } from '../embellish/family';
import { frettingPath } from '../hands/fretting';
import type { Level } from '../hands/level';
import { difficultyOf } from '../hands/level';
import { scaleOf } from '../harmony';
import type { JudgeContext } from '../judge';
import { problemsOf } from '../judge';
import type { Measure, Stroke } from '../tab/measure';
import type { PlainContext } from '../tune-kept';
import { chordFor, harmonyOf, plainMelody, tuneKept } from '../tune-kept';
import type { Combination, Promising } from './combine';
import { combinationsOf } from './combine';
import type { Patch } from './patch';
import { patched, patchesOf } from './patch';
import { promiseOf } from './rank';
import { sharedSounds, soundKey, soundsOf } from './sound';

/** Where the plain measure stands; see `JudgeContext`. */
export type IdeaContext = Omit<JudgeContext, 'plain' | 'level'>;

export interface IdeaOptions {
  /** Only this family; absent: all of them. */
  readonly family?: FamilyId;
  /** No idea is harder than this, unless the plain measure is. */
  readonly level: Level;
  /** 0 is one embellishment, 1 is as many as the measure takes. */
  readonly busyness: number;
  /** Variations that are there already: none of them is offered again, and what is like them comes later. */
  readonly already?: readonly (readonly Stroke[])[];
  /** At most so many; 12 unless given. */
  readonly limit?: number;
}

/** A variation that the engine offers. */
export interface Idea {
  readonly strokes: readonly Stroke[];
  /** The families in it, in the order of the strokes. */
  readonly families: readonly FamilyId[];
  /** What to play, one sentence an embellishment. */
  readonly words: string;
  readonly level: Level;
  /** How like the melody its line is, 0 to 1. */
  readonly likeness: number;
  /** Only for comparing ideas of one call. */
  readonly score: number;
}

const LIMIT = 12;
/** Offers of one family for one stroke that are tried. Source: measured, so that a measure takes a few ms. */
const OFFERS_EACH = 4;
/** Most embellishments in a measure: one for each half of a bum-ditty. */
const MOST = 4;
/** Candidates that are judged for each idea wanted. Source: measured, as above. */
const JUDGED_EACH = 2;
/** Strokes of a neighbour that can matter at the bar line: a bum-ditty of it. */
const NEAR = 4;
/** Weights of the final order. Source: our estimates. */
const PER_PLACE_OFF = 0.35;
const LIKENESS = 0.6;
const STRAIN = 0.3;
const KNOWN = 1;
const AGAIN = 0.25;

/** How many embellishments the busyness asks for, of as many as there are strokes that take one. */
function wantedCount(patches: readonly Promising[], busyness: number): number {
  const places = new Set(patches.map(({ patch }) => patch.stroke)).size;
  const share = Math.min(1, Math.max(0, busyness));
  return 1 + Math.floor(share * Math.max(0, Math.min(MOST, places) - 1) + 1e-9);
}

/** Mean promise of its patches, less for every place more or fewer than wanted. */
function worth({ patches, promise }: Combination, wanted: number): number {
  return promise - Math.abs(patches.length - wanted) * PER_PLACE_OFF;
}

/** The candidates that are worth judging, in order; of one kind (the same families) each next one counts for less. */
function worthJudging(
  candidates: readonly Combination[],
  wanted: number,
  most: number,
): readonly Combination[] {
  const uses = new Map<string, number>();
  return candidates
    .map((combination) => ({ combination, worth: worth(combination, wanted) }))
    .sort((a, b) => b.worth - a.worth)
    .map(({ combination, worth: alone }) => {
      const kind = combination.patches.map(({ family }) => family).join(' ');
      const used = uses.get(kind) ?? 0;
      uses.set(kind, used + 1);
      return { combination, worth: alone - used * AGAIN };
    })
    .sort((a, b) => b.worth - a.worth)
    .slice(0, most)
    .map(({ combination }) => combination);
}

/**
 * The idea that a combination makes, or undefined where it cannot be played, is not the tune any more, or is too hard.
 */
function judgedIdea(
  context: PlainContext & IdeaContext,
  options: IdeaOptions,
  combination: Combination,
  wanted: number,
  maxLevel: number,
): Idea | undefined {
  const { neck, tempo, plain, before, after } = context;
  const { patches } = combination;
  const strokes = patched(plain, patches);
  const varied = { ...plain, strokes };
  if (problemsOf(varied, neck).length > 0) return undefined;
  const own = before ? 1 : 0;
  const path = frettingPath(
    [
      ...(before ? [{ ...before, strokes: before.strokes.slice(-NEAR) }] : []),
      varied,
      ...(after ? [{ ...after, strokes: after.strokes.slice(0, NEAR) }] : []),
    ],
    neck,
    tempo,
  );
  if (!path.ok && path.problems.some(({ where }) => where.measure >= own)) return undefined;
  const hard = path.ok ? path.value.hard.filter(({ measure }) => measure === own) : [];
  const { level } = difficultyOf(varied, hard, tempo);
  if (level > maxLevel) return undefined;
  const tune = tuneKept(varied, context);
  if (tune.verdict === 'no') return undefined;
  const sounds = soundsOf(strokes);
  const known = (options.already ?? []).map((other) => sharedSounds(soundsOf(other), sounds));
  const score =
    worth(combination, wanted) +
    tune.likeness * LIKENESS -
    (hard[0]?.strain ?? 0) * STRAIN -
    Math.max(0, ...known) * KNOWN;
  return {
    strokes,
    families: patches.map(({ family }) => family),
    words: wordsOf(plain, patches),
    level,
    likeness: tune.likeness,
    score,
  };
}

function wordsOf(plain: Measure, patches: readonly Patch[]): string {
  if (patches.length === 1) return patches[0]?.words ?? '';
  return patches
    .map(({ stroke, words }) => {
      const at = plain.startsAt + (plain.strokes[stroke]?.at ?? 0);
      return `Slot ${Math.floor(at / plain.meter.slot) + 1}: ${words}`;
    })
    .join(' ');
}

/** In order of score, less for every one before it that uses the same families, so that the first few differ in kind. */
function varietyFirst(found: readonly Idea[], limit: number): readonly Idea[] {
  const left = [...found];
  const taken: Idea[] = [];
  const uses = new Map<string, number>();
  const kindOf = ({ families }: Idea) => families.join(' ');
  const worthNow = (idea: Idea) => idea.score - (uses.get(kindOf(idea)) ?? 0) * AGAIN;
  while (left.length > 0 && taken.length < limit) {
    const best = left.reduce((a, b) => (worthNow(b) > worthNow(a) ? b : a));
    left.splice(left.indexOf(best), 1);
    taken.push(best);
    uses.set(kindOf(best), (uses.get(kindOf(best)) ?? 0) + 1);
  }
  return taken;
}

/**
 * Distinct variations of a plain measure that can be played at the tempo between their neighbours and are still the tune,
 * the most useful first; the same for the same arguments. None where the plain measure itself has problems.
 * Cost: a few ms for eight slots (tests/bench).
 */
export function ideas(plain: Measure, context: IdeaContext, options: IdeaOptions): readonly Idea[] {
  const { neck, key, tempo } = context;
  if (problemsOf(plain, neck).length > 0) return [];
  const melody = plainMelody({ ...context, plain });
  const { chord } = chordFor({ ...context, plain }, melody);
  const chordAt = harmonyOf({ ...context, plain }, melody);
  const ranks = { neck, scale: scaleOf(key), melody, chordAt };
  const full = { ...context, plain, chord: chord.symbol, melody: melody.map(({ at }) => at) };
  const promising = patchesOf(plain, neck, chordAt, options.family, OFFERS_EACH).map((patch) => ({
    patch,
    promise: promiseOf(plain, patch, ranks),
  }));
  const wanted = wantedCount(promising, options.busyness);
  const alone = frettingPath([plain], neck, tempo);
  const own = difficultyOf(plain, alone.ok ? alone.value.hard : [], tempo).level;
  const maxLevel = Math.max(own, options.level);
  const limit = options.limit ?? LIMIT;
  const seen = new Set([plain.strokes, ...(options.already ?? [])].map(soundKey));
  const found: Idea[] = [];
  const candidates = combinationsOf(promising, wanted);
  for (const combination of worthJudging(candidates, wanted, limit * JUDGED_EACH)) {
    const soundsLike = soundKey(patched(plain, combination.patches));
    if (seen.has(soundsLike)) continue;
    seen.add(soundsLike);
    const idea = judgedIdea(full, options, combination, wanted, maxLevel);
    if (idea) found.push(idea);
  }
  return varietyFirst(found, limit);
}
