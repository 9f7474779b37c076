import * as v from 'valibot';
import { MAX_PASSES } from '../../lib/passes/limits';
import type { MeasureId, VariantId } from '../../lib/units';
import type { Choice, Stretch } from '../board/passages';
import { MAX_TEMPO, MIN_TEMPO } from '../board/values';

/** Most times that a stretch is played on a practice track. */
const MAX_TIMES = 20;
/** How a track begins. */
export const COUNTS = ['none', 'count', 'potatoes'] as const;
export type Count = (typeof COUNTS)[number];

/** A practice track as it is asked for by `GET /api/boards/:board/export/wav`. */
export interface WavWish {
  readonly choice: Choice;
  readonly stretch: Stretch;
  /** Beats a minute; absent: the tune's. */
  readonly tempo?: number;
  readonly count: Count;
  /** The first of two slots as a part of both. */
  readonly swing: number;
  readonly click: boolean;
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

/** The query's words; others are not looked at. */
const query = v.object({
  pass: v.optional(
    v.union([v.literal('plain'), v.literal('all'), v.pipe(number(1, MAX_PASSES), v.integer())]),
    'plain',
  ),
  variant: v.optional(name),
  part: v.optional(name),
  from: v.optional(name),
  to: v.optional(name),
  tempo: v.optional(number(MIN_TEMPO, MAX_TEMPO)),
  count: v.optional(v.picklist(COUNTS), 'none'),
  swing: v.optional(number(50, 75), '50'),
  click: v.optional(v.picklist(['0', '1']), '0'),
  times: v.optional(v.pipe(number(1, MAX_TIMES), v.integer()), '1'),
});

/** What each word takes, for somebody who wrote another. */
const TAKES: Readonly<Record<string, string>> = {
  pass: `"plain", "all", or the number of a pass`,
  tempo: `beats a minute, ${MIN_TEMPO} to ${MAX_TEMPO}`,
  count: COUNTS.map((count) => `"${count}"`).join(', '),
  swing: 'the first of two slots in per cent of both, 50 to 75',
  click: '0 or 1',
  times: `a whole number, 1 to ${MAX_TIMES}`,
};

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
  const { pass, variant, part, from, to, tempo, count, swing, click, times } = parsed.output;
  const choice: Choice =
    variant !== undefined
      ? { kind: 'variant', variant: variant as VariantId }
      : pass === 'plain'
        ? { kind: 'plain' }
        : pass === 'all'
          ? { kind: 'plan' }
          : { kind: 'pass', pass };
  const first = from ?? to;
  const last = to ?? from;
  const stretch: Stretch =
    first !== undefined && last !== undefined
      ? { kind: 'measures', from: first as MeasureId, to: last as MeasureId }
      : part !== undefined
        ? { kind: 'part', letter: part }
        : { kind: 'whole' };
  return {
    wish: {
      choice,
      stretch,
      ...(tempo === undefined ? {} : { tempo }),
      count,
      swing: swing / 100,
      click: click === '1',
      times,
    },
  };
}

/** The query that asks for a wish, without "?". */
export function wavQuery({
  choice,
  stretch,
  tempo,
  count,
  swing,
  click,
  times,
}: WavWish): URLSearchParams {
  const params = new URLSearchParams();
  if (choice.kind === 'variant') params.set('variant', choice.variant);
  else if (choice.kind === 'pass') params.set('pass', String(choice.pass));
  else params.set('pass', choice.kind === 'plan' ? 'all' : 'plain');
  if (stretch.kind === 'part') params.set('part', stretch.letter);
  if (stretch.kind === 'measures') {
    params.set('from', stretch.from);
    params.set('to', stretch.to);
  }
  if (tempo !== undefined) params.set('tempo', String(tempo));
  params.set('count', count);
  if (swing !== 0.5) params.set('swing', String(Math.round(100 * swing)));
  if (click) params.set('click', '1');
  if (times > 1) params.set('times', String(times));
  return params;
}
