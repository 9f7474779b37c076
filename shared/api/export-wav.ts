import * as v from 'valibot';
import { MAX_PASSES } from '../../lib/passes/limits';
import { MOST_SWING, STRAIGHT } from '../../lib/sound/time';
import type { Bpm, MeasureId, VariantId } from '../../lib/units';
import type { Lesson, Playing } from '../board/lesson';
import { COUNTS } from '../board/lesson';
import type { Choice, Stretch } from '../board/passages';
import { MAX_TEMPO, MIN_TEMPO } from '../board/values';

/** Most times that a stretch is played on a practice track. */
const MAX_TIMES = 20;
/** Largest step in beats a minute, and most clean rounds before it. */
const MAX_STEP = 20;
const MAX_ROUNDS = 20;

/** A practice track as it is asked for by `GET /api/boards/:board/export/wav`. */
export interface WavWish extends Lesson, Omit<Playing, 'loop'> {
  /** Beats a minute; absent: the tune's. */
  readonly tempo?: Bpm;
  /** Are strings 1 to 4 heard, and string 5? */
  readonly melody: boolean;
  readonly drone: boolean;
  /** How often it is gone through; where it gets faster, it is as often as it takes to the goal. */
  readonly times: number;
}

const number = (low: number, high: number) =>
  v.pipe(
    v.string(),
    v.regex(/^\d{1,4}(\.\d{1,6})?$/),
    v.transform(Number),
    v.minValue(low),
    v.maxValue(high),
  );
const name = v.pipe(v.string(), v.regex(/^[A-Za-z0-9_.-]{1,60}$/));

const yesNo = v.picklist(['0', '1']);
const tempo = number(MIN_TEMPO / 3, MAX_TEMPO);

/** The query's words; others are not looked at. */
const query = v.object({
  pass: v.optional(
    v.union([v.literal('plain'), v.literal('all'), v.pipe(number(1, MAX_PASSES), v.integer())]),
    'plain',
  ),
  variant: v.optional(name),
  after: v.optional(v.literal('plain')),
  only: v.optional(v.literal('changes')),
  part: v.optional(name),
  from: v.optional(name),
  to: v.optional(name),
  tempo: v.optional(tempo),
  goal: v.optional(tempo),
  step: v.optional(number(1, MAX_STEP), '4'),
  rounds: v.optional(v.pipe(number(1, MAX_ROUNDS), v.integer()), '3'),
  alone: v.optional(yesNo, '0'),
  melody: v.optional(yesNo, '1'),
  drone: v.optional(yesNo, '1'),
  count: v.optional(v.picklist(COUNTS), 'none'),
  swing: v.optional(number(100 * STRAIGHT, 100 * MOST_SWING), String(100 * STRAIGHT)),
  click: v.optional(yesNo, '0'),
  accent: v.optional(yesNo, '1'),
  times: v.optional(v.pipe(number(1, MAX_TIMES), v.integer()), '1'),
});
type Words = v.InferOutput<typeof query>;

const BEATS = `beats a minute, ${Math.ceil(MIN_TEMPO / 3)} to ${MAX_TEMPO}`;
/** What each word takes, for somebody who wrote another. */
const TAKES: Readonly<Record<string, string>> = {
  pass: `"plain", "all", or the number of a pass`,
  after: '"plain": the plain measure, then the variant',
  only: '"changes": plain measures are left out',
  tempo: BEATS,
  goal: BEATS,
  step: `beats a minute, 1 to ${MAX_STEP}`,
  rounds: `a whole number, 1 to ${MAX_ROUNDS}`,
  alone: '0, or 1: every second round is silent',
  melody: '0 or 1',
  drone: '0 or 1',
  count: COUNTS.map((count) => `"${count}"`).join(', '),
  swing: `the first of two slots in per cent of both, ${100 * STRAIGHT} to ${100 * MOST_SWING}`,
  click: '0 or 1',
  accent: '0 or 1',
  times: `a whole number, 1 to ${MAX_TIMES}`,
};

function choiceFrom({ variant, pass }: Words): Choice {
  if (variant !== undefined) return { kind: 'variant', variant: variant as VariantId };
  if (pass === 'plain') return { kind: 'plain' };
  return pass === 'all' ? { kind: 'plan' } : { kind: 'pass', pass };
}

function stretchFrom({ part, from, to }: Words): Stretch {
  const first = from ?? to;
  const last = to ?? from;
  if (first !== undefined && last !== undefined)
    return { kind: 'measures', from: first as MeasureId, to: last as MeasureId };
  return part === undefined ? { kind: 'whole' } : { kind: 'part', letter: part };
}

/** A query as a wish, or a sentence about the first word in it that cannot be used. */
export function wavWishFrom(
  params: URLSearchParams,
): { readonly wish: WavWish } | { readonly problem: string } {
  const parsed = v.safeParse(query, Object.fromEntries(params));
  if (!parsed.success) {
    const word = v.getDotPath(parsed.issues[0]) ?? '';
    const takes = TAKES[word] ?? 'a name from the board';
    return { problem: `"${word}" takes ${takes}.` };
  }
  const words = parsed.output;
  return {
    wish: {
      choice: choiceFrom(words),
      stretch: stretchFrom(words),
      afterPlain: words.after !== undefined,
      changesOnly: words.only !== undefined,
      ...(words.tempo === undefined ? {} : { tempo: words.tempo }),
      stepUp: words.goal !== undefined,
      goal: words.goal ?? MAX_TEMPO,
      step: words.step,
      rounds: words.rounds,
      alternate: words.alone === '1',
      melody: words.melody === '1',
      drone: words.drone === '1',
      leadIn: words.count,
      swing: words.swing / 100,
      click: words.click === '1',
      accent: words.accent === '1',
      times: words.times,
    },
  };
}

/** The query that asks for a wish, without "?". */
export function wavQuery(wish: WavWish): URLSearchParams {
  const { choice, stretch } = wish;
  const params = new URLSearchParams();
  if (choice.kind === 'variant') params.set('variant', choice.variant);
  else if (choice.kind === 'pass') params.set('pass', String(choice.pass));
  else params.set('pass', choice.kind === 'plan' ? 'all' : 'plain');
  if (wish.afterPlain) params.set('after', 'plain');
  if (wish.changesOnly) params.set('only', 'changes');
  if (stretch.kind === 'part') params.set('part', stretch.letter);
  if (stretch.kind === 'measures') {
    params.set('from', stretch.from);
    params.set('to', stretch.to);
  }
  if (wish.tempo !== undefined) params.set('tempo', String(wish.tempo));
  if (wish.stepUp) {
    params.set('goal', String(wish.goal));
    params.set('step', String(wish.step));
    params.set('rounds', String(wish.rounds));
  }
  if (wish.alternate) params.set('alone', '1');
  if (!wish.melody) params.set('melody', '0');
  if (!wish.drone) params.set('drone', '0');
  params.set('count', wish.leadIn);
  if (wish.swing !== STRAIGHT) params.set('swing', String(Math.round(100 * wish.swing)));
  if (wish.click) params.set('click', '1');
  if (!wish.accent) params.set('accent', '0');
  if (wish.times > 1) params.set('times', String(wish.times));
  return params;
}
