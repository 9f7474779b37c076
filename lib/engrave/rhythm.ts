import type { Measure } from '../tab/measure';
import type { Ticks } from '../units';
import type { Primitive } from './primitives';
import { restSign } from './rests';
import type { Pitch } from './sizes';
import { lineOf, SIZES } from './sizes';
import { xAt } from './spacing';
import type { Value } from './values';
import { valuesOf } from './values';

/** One printed value: a stroke's own, or one tied to it. */
interface Sign {
  readonly stroke: number;
  readonly at: Ticks;
  readonly x: number;
  readonly value: Value;
  readonly rest: boolean;
  readonly tied: boolean;
}

const START = lineOf(5) + SIZES.stemStart;
const END = lineOf(5) + SIZES.stemEnd;

function signsOf(measure: Measure, xs: readonly number[], pitch: Pitch): readonly Sign[] {
  return measure.strokes.flatMap(({ at, length, by }, stroke) => {
    let reached = at;
    return valuesOf(length).map((value, i) => {
      const x = i === 0 ? (xs[stroke] ?? 0) : xAt(measure, reached, pitch);
      const sign = { stroke, at: reached, x, value, rest: by === 'rest', tied: i > 0 };
      reached += value.ticks;
      return sign;
    });
  });
}

/** Counts the bum-ditties: the same number for all moments that may share a beam. */
function groupNumber({ meter, startsAt }: Measure, at: Ticks): number {
  const inBar = startsAt + at;
  let end = Math.floor(inBar / meter.measure) * meter.measure;
  let number = Math.floor(inBar / meter.measure) * meter.groups.length;
  for (const slots of meter.groups) {
    end += slots * meter.slot;
    if (inBar < end) return number;
    number += 1;
  }
  return number;
}

/** The signs in runs: those that share beams together, every other one by itself. */
function runsOf(measure: Measure, signs: readonly Sign[]): readonly (readonly Sign[])[] {
  const runs: Sign[][] = [];
  for (const sign of signs) {
    const run = runs.at(-1);
    const last = run?.at(-1);
    const short = [last, sign].every((each) => each && !each.rest && each.value.beams > 0);
    const together =
      last !== undefined &&
      last.at < sign.at &&
      groupNumber(measure, last.at) === groupNumber(measure, sign.at);
    if (run && short && together) run.push(sign);
    else runs.push([sign]);
  }
  return runs;
}

function stemOf({ stroke, x, value }: Sign): readonly Primitive[] {
  if (value.stem === 'none') return [];
  const y2 = value.stem === 'half' ? START + (END - START) * SIZES.halfStem : END;
  return [{ kind: 'line', role: 'stem', stroke, x1: x, y1: START, x2: x, y2, width: SIZES.stem }];
}

function dotOf({ stroke, x, value }: Sign): readonly Primitive[] {
  if (!value.dotted) return [];
  const foot = value.stem === 'half' ? START + (END - START) * SIZES.halfStem : END;
  const y = foot - SIZES.dot - value.beams * SIZES.betweenBeams;
  return [{ kind: 'disc', role: 'dot', stroke, x: x + SIZES.dotAway, y, r: SIZES.dot }];
}

/** The flags of a short value that stands alone. */
function flagsOf({ stroke, x, value }: Sign): readonly Primitive[] {
  const { flagWidth: w, flagHeight: h } = SIZES;
  return Array.from({ length: value.beams }, (_, i): Primitive => {
    const y = END - i * SIZES.betweenBeams;
    return {
      kind: 'path',
      role: 'flag',
      stroke,
      steps: [
        ['M', x, y],
        ['Q', x + w, y - h * 0.45, x + w * 0.75, y - h],
        ['Q', x + w * 0.6, y - h * 0.55, x, y - SIZES.beam],
        ['Z'],
      ],
    };
  });
}

/** Neighbours in a run that have a beam at this level, as pairs of their first and last index. */
function stretches(run: readonly Sign[], level: number): readonly (readonly [number, number])[] {
  const found: [number, number][] = [];
  for (const [i, { value }] of run.entries()) {
    if (value.beams < level) continue;
    const last = found.at(-1);
    if (last && last[1] === i - 1) last[1] = i;
    else found.push([i, i]);
  }
  return found;
}

/** The beams of a run, the outermost at the feet of the stems; a single short value has a stub towards its neighbour. */
function beamsOf(run: readonly Sign[]): readonly Primitive[] {
  const half = SIZES.stem / 2;
  return [1, 2, 3].flatMap((level) =>
    stretches(run, level).map(([from, to]): Primitive => {
      const left = run[from]?.x ?? 0;
      const right = run[to]?.x ?? 0;
      const neighbour = run[from > 0 ? from - 1 : 1]?.x ?? left;
      const stub = from !== to ? 0 : Math.min(SIZES.stubBeam, Math.abs(neighbour - left) / 2 - 1);
      const y = END - SIZES.beam / 2 - (level - 1) * SIZES.betweenBeams;
      return {
        kind: 'line',
        role: 'beam',
        x1: left - (from > 0 ? stub : 0) - half,
        y1: y,
        x2: right + (from === 0 ? stub : 0) + half,
        y2: y,
        width: SIZES.beam,
      };
    }),
  );
}

function tieOf(before: Sign, sign: Sign): Primitive {
  const y = START + 2;
  const x1 = before.x + 3;
  const x2 = sign.x - 3;
  return {
    kind: 'path',
    role: 'tie',
    stroke: sign.stroke,
    width: SIZES.slurPen,
    steps: [
      ['M', x1, y],
      ['Q', (x1 + x2) / 2, y + SIZES.tieDepth * 2, x2, y],
    ],
  };
}

/** A 3 below each three notes in the time of two, counted off from the first. */
function tripletsOf(signs: readonly Sign[]): readonly Primitive[] {
  const threes: Primitive[] = [];
  let three: Sign[] = [];
  for (const sign of signs) {
    if (!sign.value.triplet) three = [];
    else three.push(sign);
    const longest = Math.max(0, ...three.map(({ value }) => value.ticks));
    const sum = three.reduce((total, { value }) => total + value.ticks, 0);
    if (three.length < 2 || sum < longest * 1.5 || three.length * longest < sum) continue;
    const shortest = Math.min(...three.map(({ value }) => value.ticks));
    if (sum !== shortest * 3) continue;
    const x = ((three[0]?.x ?? 0) + sign.x) / 2;
    threes.push({
      kind: 'text',
      role: 'triplet',
      x,
      y: lineOf(5) + SIZES.markBelow,
      size: SIZES.tripletText,
      anchor: 'middle',
      text: '3',
    });
    three = [];
  }
  return threes;
}

/** The rhythm below the staff: stems, beams by bum-ditty, flags, dots, ties, triplets; and the rests in the staff. */
export function rhythmOf(
  measure: Measure,
  xs: readonly number[],
  pitch: Pitch,
): readonly Primitive[] {
  const signs = signsOf(measure, xs, pitch);
  const sounding = signs.filter(({ rest }) => !rest);
  return [
    ...signs
      .filter(({ rest }) => rest)
      .flatMap(({ stroke, x, value }) => restSign(stroke, x, value)),
    ...sounding.flatMap((sign) => [...stemOf(sign), ...dotOf(sign)]),
    ...sounding.flatMap((sign, i) => {
      const before = sounding[i - 1];
      return sign.tied && before ? [tieOf(before, sign)] : [];
    }),
    ...runsOf(measure, signs).flatMap((run) => {
      const [first] = run;
      if (run.length > 1) return beamsOf(run);
      return first && !first.rest ? flagsOf(first) : [];
    }),
    ...tripletsOf(signs),
  ];
}
