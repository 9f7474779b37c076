import type { FrettingPath } from './hands/fretting';
import { frettingPath } from './hands/fretting';
import type { Difficulty, Level } from './hands/level';
import { difficultyOf, LEVELS } from './hands/level';
import type { PickingProblem } from './hands/picking';
import { checkPicking } from './hands/picking';
import { secondsWords } from './hands/seconds-words';
import type { FrettingProblem } from './hands/sounding';
import { checkFretting } from './hands/sounding';
import type { FrettingImpossible } from './hands/trouble';
import type { Key } from './harmony';
import type { Result } from './result';
import type { FillProblem } from './tab/fill';
import { checkFill } from './tab/fill';
import type { Measure } from './tab/measure';
import type { ChordChange } from './tune';
import type { TuneKept } from './tune-kept';
import { tuneKept } from './tune-kept';
import type { Neck } from './tuning';
import type { Bpm, Ticks } from './units';

export type MeasureProblem = FillProblem | PickingProblem | FrettingProblem;

/**
 * Everything that stands in the way of playing this measure as it is, in the order of its strokes: it adds up, the
 * picking hand alternates, the fretting hand can do it. Empty when nothing does.
 */
export function problemsOf(measure: Measure, neck: Neck): readonly MeasureProblem[] {
  const all: readonly MeasureProblem[] = [
    ...checkFill(measure),
    ...checkPicking(measure),
    ...checkFretting(measure, neck),
  ];
  return [...all].sort((a, b) => (a.where.stroke ?? -1) - (b.where.stroke ?? -1));
}

/** What a variation is judged by. */
export interface JudgeContext {
  readonly neck: Neck;
  readonly key: Key;
  readonly tempo: Bpm;
  /** The measure as everybody knows it. */
  readonly plain: Measure;
  /** Where its melody's notes begin; absent or empty: found by rule. */
  readonly melody?: readonly Ticks[];
  /** Chord symbol; absent or unreadable: inferred from the melody. */
  readonly chord?: string;
  /** Chords that begin inside the measure. */
  readonly chords?: readonly ChordChange[];
  /** What is played before and after, where there is something. */
  readonly before?: Measure;
  readonly after?: Measure;
  /** The player's level; absent: nobody's in particular. */
  readonly level?: Level;
}

export type JudgementId = 'fits' | 'playable' | 'tune' | 'joins' | 'level';
/** `warn` can be done and deserves a word of warning. */
export type Verdict = 'yes' | 'warn' | 'no';

export interface Judgement {
  readonly id: JudgementId;
  readonly verdict: Verdict;
  readonly words: string;
  /** Indices of the strokes that the words are about; none where the whole measure is meant. */
  readonly strokes: readonly number[];
}

export interface Judged {
  /** Fits, playable, still the tune, joins its neighbours, level: always these five in this order. */
  readonly judgements: readonly Judgement[];
  readonly difficulty: Difficulty;
  readonly tune: TuneKept;
}

function judgement(
  id: JudgementId,
  verdict: Verdict,
  words: string,
  strokes: readonly number[] = [],
): Judgement {
  return { id, verdict, words, strokes };
}

function fits(measure: Measure): Judgement {
  const problems = [...checkFill(measure), ...checkPicking(measure)];
  if (problems.length === 0)
    return judgement('fits', 'yes', 'It fills the measure, and the picking hand goes down and up.');
  const strokes = problems.flatMap(({ where }) => where.stroke ?? []);
  return judgement('fits', 'no', problems.map(({ words }) => words).join(' '), strokes);
}

type Path = Result<FrettingPath, FrettingImpossible>;

function playable(measure: Measure, neck: Neck, path: Path): Judgement {
  const rules = checkFretting(measure, neck);
  const problems = rules.length > 0 || path.ok ? rules : path.problems;
  if (problems.length > 0)
    return judgement(
      'playable',
      'no',
      problems.map(({ words }) => words).join(' '),
      problems.map(({ where }) => where.stroke),
    );
  const [hardest] = path.ok ? path.value.hard : [];
  if (!hardest)
    return judgement('playable', 'yes', 'The left hand finds its fingers without haste.');
  return judgement('playable', 'warn', hardest.words, [hardest.stroke]);
}

const FROM_BEFORE = 'From the measure before';
const INTO_AFTER = 'Into the measure after';

/** The verdict where the joined path is impossible: no, if the bar line is to blame and not a neighbour by itself. */
function unjoined(
  problems: readonly FrettingImpossible[],
  own: number,
  context: JudgeContext,
): Judgement {
  const { after, neck, tempo } = context;
  const [here] = problems.filter(({ where }) => where.measure === own);
  if (here) return judgement('joins', 'no', `${FROM_BEFORE}: ${here.words}`, [here.where.stroke]);
  const [there] = problems.filter(({ where }) => where.measure === own + 1);
  if (there && after && frettingPath([after], neck, tempo).ok)
    return judgement('joins', 'no', `${INTO_AFTER}: ${there.words}`);
  return judgement(
    'joins',
    'yes',
    'A neighbour cannot be played, but not because of this measure.',
  );
}

/** Does the hand have time at both bar lines? */
function joins(context: JudgeContext, measure: Measure, alone: Path): Judgement {
  const { before, after, neck, tempo } = context;
  if (!before && !after) return judgement('joins', 'yes', 'There is nothing beside it.');
  if (!alone.ok)
    return judgement('joins', 'no', 'It cannot be joined before it can be played itself.');
  const own = before ? 1 : 0;
  const all = [...(before ? [before] : []), measure, ...(after ? [after] : [])];
  const joined = frettingPath(all, neck, tempo);
  if (!joined.ok) return unjoined(joined.problems, own, context);
  const firstIn = (index: number) => joined.value.moments.find((m) => m.measure === index)?.stroke;
  for (const { measure: index, stroke, from, to, haveMs, needMs } of joined.value.shifts) {
    const isHere = index === own && before !== undefined;
    if ((!isHere && index !== own + 1) || stroke !== firstIn(index) || needMs < haveMs / 2)
      continue;
    const words = `${isHere ? FROM_BEFORE : INTO_AFTER} the hand moves from fret ${from} to fret ${to} in ${secondsWords(haveMs)}.`;
    return judgement('joins', 'warn', words, isHere ? [stroke] : []);
  }
  return judgement('joins', 'yes', 'The hand has time at both bar lines.');
}

function levelFor(difficulty: Difficulty, level: Level | undefined): Judgement {
  const { reasons } = difficulty;
  const why = [...new Set(reasons.map(({ words }) => words.replace(/\.$/, '')))].slice(0, 3);
  const because = why.length > 0 ? ` In it: ${why.join('; ')}.` : '';
  const words = `Level ${difficulty.level} of 5: ${LEVELS[difficulty.level]}.${because}`;
  const above = level === undefined ? 0 : difficulty.level - level;
  const verdict = above <= 0 ? 'yes' : above === 1 ? 'warn' : 'no';
  return judgement(
    'level',
    verdict,
    words,
    reasons.map(({ stroke }) => stroke),
  );
}

/**
 * What a teacher would say of a variation: whether it fits, can be played at this tempo, is still the tune, joins its
 * neighbours, and for whom it is. Takes about 0.2 ms a measure.
 * Source: "what makes a variation good", common practice, no source; each judgement's own sources stand beside it.
 */
export function judge(measure: Measure, context: JudgeContext): Judged {
  const { neck, tempo } = context;
  const alone = frettingPath([measure], neck, tempo);
  const difficulty = difficultyOf(measure, alone.ok ? alone.value.hard : [], tempo);
  const tune = tuneKept(measure, context);
  return {
    judgements: [
      fits(measure),
      playable(measure, neck, alone),
      judgement('tune', tune.verdict, tune.words, tune.strokes),
      joins(context, measure, alone),
      levelFor(difficulty, context.level),
    ],
    difficulty,
    tune,
  };
}
