import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { valuesOf } from '../../../lib/engrave/values';
import type { MeterName } from '../../../lib/rhythm';
import { bar } from '../../kit/tab';
import { countOf, textsOf } from './picture';

function drawn(meter: MeterName, text: string, startsAt = 0) {
  return engraveMeasure(bar(meter, text, { startsAt }));
}

describe('stems and beams', () => {
  const rows: [MeterName, string, string, string][] = [
    ['4/4', 's3 . b123 t5 s3 . b123 t5', '6 2 0', 'a quarter and two beamed eighths, twice'],
    ['4/4', 's3 h3.2 b123 t5 s2 t5 s1 t5', '8 2 0', 'one beam for each bum-ditty'],
    ['4/4', 's3 . . . b123 t5 r .', '3 1 0', 'a half note has a stem of its own'],
    ['4/4', 's3 . . . . . . .', '0 0 0', 'a whole note has no stem'],
    ['4/4', 's3 . . t5 s3 . b123 t5', '5 1 1', 'an eighth alone has a flag'],
    ['4/4', 's3 . . t5 b123 t5 b123 t5', '6 1 1', 'no beam crosses to the next bum-ditty'],
    ['4/4', 's3 r s1 t5', '3 1 1', 'a rest breaks the beam'],
    ['2/4', 's3 . b123 t5 s3 . b123 t5', '6 4 0', 'one beam for all, one for the sixteenths'],
    ['2/4', 's3 r . .', '1 0 2', 'a sixteenth alone has two flags'],
    ['3/4', 's3 . b123 t5 b123 t5', '5 2 0', 'four slots, then two'],
    ['6/8', 's3 b123 t5 s3 b123 t5', '6 2 0', 'three and three'],
  ];
  test.each(rows)('in %s, %s has %s stems, beams, flags: %s', (meter, text, counts) => {
    const picture = drawn(meter, text);
    const roles = ['stem', 'beam', 'flag'] as const;
    expect(roles.map((role) => countOf(picture, role)).join(' ')).toBe(counts);
  });

  test('a pickup is beamed by its place in the bar', () => {
    expect(countOf(drawn('4/4', 's1 t5 s1 t5', 720), 'beam')).toBe(1);
    expect(countOf(drawn('4/4', 's1 t5 s1 t5', 720), 'flag')).toBe(1);
    expect(countOf(drawn('4/4', 's1 t5 s1 t5', 960), 'flag')).toBe(0);
  });

  test('a half note stem is shorter than a quarter stem', () => {
    const heights = drawn('4/4', 's3 . . . s1 . r .').primitives.flatMap((each) =>
      each.kind === 'line' && each.role === 'stem' ? [each.y2 - each.y1] : [],
    );
    expect(heights).toHaveLength(2);
    expect(heights[0]).toBeLessThan(heights[1] ?? 0);
  });
});

describe('dots, ties, triplets and rests', () => {
  test.each([
    ['s3 . . t5', 1, 0, 'three slots are a dotted quarter'],
    ['s3 . . . . t5 b123 t5', 0, 1, 'five slots are tied'],
    ['s3 . b123 t5', 0, 0, 'the plain bum-ditty has neither'],
  ])('%s: %i dots, %i ties (%s)', (text, dots, ties) => {
    const picture = drawn('4/4', text);
    expect(countOf(picture, 'dot')).toBe(dots);
    expect(countOf(picture, 'tie')).toBe(ties);
  });

  test.each([
    ['4/4', 's1~160 h1.2~160 p1~160 b123 t5', ['3']],
    ['4/4', 's1~160 h1.2~160 p1~160 s1~160 h1.2~160 p1~160', ['3', '3']],
    ['4/4', 's1~320 h1.2~160 b123 t5', ['3']],
    ['4/4', 's1~160 h1.2~160 p1 b123 t5', []],
    ['2/4', 's1~80 h1.2~80 p1~80 b123 t5', ['3']],
    ['4/4', 's3 h3.2 b123 t5', []],
  ] as const)('in %s, %s has triplets %j', (meter, text, threes) => {
    expect(textsOf(drawn(meter, text), 'triplet')).toEqual(threes);
  });

  test('a rest has a sign and no stem', () => {
    const picture = drawn('4/4', 'r . . . r . r t5');
    expect(
      new Set(picture.primitives.filter(({ role }) => role === 'rest').map(({ stroke }) => stroke)),
    ).toEqual(new Set([0, 1, 2]));
    expect(countOf(picture, 'stem')).toBe(1);
  });
});

describe('lengths as printed values', () => {
  test.each([
    [1920, [1920]],
    [1440, [1440]],
    [720, [720]],
    [160, [160]],
    [1200, [960, 240]],
    [1680, [1440, 240]],
    [1, [60]],
  ])('%i ticks are %j', (length, values) => {
    expect(valuesOf(length).map(({ ticks }) => ticks)).toEqual(values);
  });
});
