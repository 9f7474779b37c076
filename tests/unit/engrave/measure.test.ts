import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../../lib/engrave/measure';
import type { Picture } from '../../../lib/engrave/primitives';
import { svgOf } from '../../../lib/engrave/svg';
import { bar } from '../../kit/tab';
import { gapsOn, numbersOf, textsOf } from './picture';

function drawn(text: string, options: Parameters<typeof engraveMeasure>[1] = {}): Picture {
  return engraveMeasure(bar('4/4', text), options);
}

describe('fret numbers', () => {
  test.each([
    ['s3 . b123 t5', ['0 on 3', '0 on 1', '0 on 2', '0 on 3', '0 on 5']],
    ['s1.12 . b1.2+4.3 t5.7', ['12 on 1', '2 on 1', '3 on 4', '7 on 5']],
    ['s3.2 l3.4 r t5', ['2 on 3', '4 on 3', '0 on 5']],
    ['x1234 t5', ['0 on 5']],
  ])('%s stands as %j, string 1 on top', (text, numbers) => {
    expect(numbersOf(drawn(text)).map(({ fret, string }) => `${fret} on ${string}`)).toEqual(
      numbers,
    );
  });

  test('a stopped brush has one x for each string', () => {
    const heads = drawn('x1234 t5').primitives.filter(({ role }) => role === 'chop');
    expect(heads).toHaveLength(4);
  });

  test('only a brush has an arrow', () => {
    const arrows = (text: string) =>
      drawn(text)
        .primitives.filter(({ role }) => role === 'brush')
        .map(({ stroke }) => stroke);
    expect(arrows('s3 . b123 t5 b12 t5')).toEqual([1, 3]);
    expect(arrows('s3 t5 x123 t5 s1 h1.2')).toEqual([]);
  });
});

describe('the staff', () => {
  test('five lines run from edge to edge where nothing stands on them', () => {
    const picture = drawn('');
    for (const string of [1, 2, 3, 4, 5]) expect(gapsOn(picture, string)).toEqual([]);
  });

  test('a line is left out around each number on it and nowhere else', () => {
    const picture = drawn('s3 . b123 t5');
    expect(gapsOn(picture, 3)).toHaveLength(2);
    expect(gapsOn(picture, 1)).toHaveLength(1);
    expect(gapsOn(picture, 4)).toHaveLength(0);
    for (const { x, string } of numbersOf(picture)) {
      const around = gapsOn(picture, string).filter((gap) => gap.from < x && x < gap.to);
      expect(around).toHaveLength(1);
      expect(((around[0]?.from ?? 0) + (around[0]?.to ?? 0)) / 2).toBeCloseTo(x);
    }
  });

  test('two figures need a wider gap than one', () => {
    const width = (text: string) => {
      const [gap] = gapsOn(drawn(text), 1);
      return (gap?.to ?? 0) - (gap?.from ?? 0);
    };
    expect(width('s1.12')).toBeGreaterThan(width('s1.2') + 5);
  });

  test('a slide takes the place of the line between its numbers', () => {
    const [gap, ...more] = gapsOn(drawn('s3.2 l3.4 s1 t5'), 3);
    expect(more).toEqual([]);
    const [from, to] = numbersOf(drawn('s3.2 l3.4 s1 t5'));
    expect(gap?.from).toBeLessThan(from?.x ?? 0);
    expect(gap?.to).toBeGreaterThan(to?.x ?? 0);
  });
});

describe('bar lines', () => {
  test.each([
    [{}, 1, 0],
    [{ barRight: 'none' }, 0, 0],
    [{ barRight: 'double' }, 2, 0],
    [{ barRight: 'final' }, 2, 0],
    [{ barRight: 'repeat' }, 2, 2],
    [{ barLeft: 'repeat' }, 3, 2],
    [{ barLeft: 'single', barRight: 'single' }, 2, 0],
  ] as const)('%j has %i lines and %i dots', (options, lines, dots) => {
    const { primitives } = drawn('s3 . b123 t5', options);
    expect(primitives.filter(({ role }) => role === 'bar')).toHaveLength(lines);
    expect(primitives.filter(({ role }) => role === 'repeat')).toHaveLength(dots);
  });

  test('a right bar line ends exactly at the edge, where the next measure begins', () => {
    const picture = drawn('s3 . b123 t5');
    const lines = picture.primitives.flatMap((each) =>
      each.kind === 'line' && each.role === 'bar' ? [each] : [],
    );
    expect((lines[0]?.x1 ?? 0) + (lines[0]?.width ?? 0) / 2).toBeCloseTo(picture.width);
  });
});

describe('what stands around', () => {
  test('chords stand over their moments', () => {
    const chords = [{ at: 960, symbol: 'D7' }];
    const picture = drawn('s3 . b123 t5 s2.1 . b123 t5', { chord: 'G', chords });
    expect(textsOf(picture, 'chord')).toEqual(['G', 'D7']);
    const [first, second] = picture.primitives.filter(({ role }) => role === 'chord');
    const [at, later] = [picture.places.strokes[0]?.x ?? 0, picture.places.strokes[3]?.x ?? 0];
    expect(first?.kind === 'text' && second?.kind === 'text' && second.x - first.x).toBe(
      later - at,
    );
  });

  test('chord, ending and number are printed as given', () => {
    const picture = drawn('s3 . b123 t5', { chord: 'F#m7', ending: [1, 3], number: 8 });
    expect(textsOf(picture, 'chord')).toEqual(['F#m7']);
    expect(textsOf(picture, 'ending')).toEqual(['1, 3.']);
    expect(textsOf(picture, 'number')).toEqual(['8']);
  });

  test('an ending that goes on has its line and no number', () => {
    const picture = drawn('s3 . b123 t5', { ending: 'continued' });
    expect(textsOf(picture, 'ending')).toEqual([]);
    expect(picture.primitives.filter(({ role }) => role === 'ending')).toHaveLength(1);
  });

  test('a warning stands at its stroke, and none at a stroke that is not there', () => {
    const picture = drawn('s3 . b123 t5', { warnAt: [1, 99] });
    const warnings = picture.primitives.filter(({ role }) => role === 'warning');
    expect(new Set(warnings.map(({ stroke }) => stroke))).toEqual(new Set([1]));
    expect(textsOf(picture, 'warning')).toEqual(['!']);
  });

  test('a changed measure has a bracket, an unchanged one has none', () => {
    const brackets = (changed: boolean) =>
      drawn('s3', { changed }).primitives.filter(({ role }) => role === 'changed').length;
    expect([brackets(true), brackets(false)]).toEqual([1, 0]);
  });
});

describe('places', () => {
  test('variants of a measure stand under one another, slot by slot', () => {
    const plain = drawn('s3 . b123 t5 s2.1 . b123 t5', { barLeft: 'repeat', chord: 'G' });
    const varied = drawn('s1~160 h1.12~160 p1~160 s1.12 t5 s2 t3 x123 t5', { changed: true });
    expect(varied.width).toBe(plain.width);
    expect(varied.height).toBe(plain.height);
    expect(varied.places.slots).toEqual(plain.places.slots);
    expect(varied.places.strokes[3]?.x).toBe(plain.places.strokes[1]?.x);
    expect(varied.places.staff).toEqual(plain.places.staff);
  });

  test('the line of string 1 is above that of string 5', () => {
    const { staff } = drawn('').places;
    expect(staff.top).toBeLessThan(staff.bottom);
  });

  test.each([
    ['s3.2~60 l3.4~180 t5', 8],
    ['s3.10~60 l3.12~180 t5', 14],
    ['s1~160 h1.12~160 p1.10~160 b123 t5', 12],
  ])('quick notes of %s do not touch', (text, apart) => {
    const [first, second] = drawn(text).places.strokes;
    expect((second?.x ?? 0) - (first?.x ?? 0)).toBeGreaterThan(apart);
  });

  test('a pickup is narrower, and as tall', () => {
    const pickup = engraveMeasure(bar('4/4', 's1 t5', { startsAt: 1440 }));
    const full = drawn('s1 t5');
    expect(pickup.width).toBeLessThan(full.width / 2);
    expect(pickup.height).toBe(full.height);
    expect(pickup.places.slots).toHaveLength(2);
  });

  test('all measures of a tune are shown in one scale: blank before a pickup and after a measure that ends early', () => {
    const full = drawn('s1 t5');
    const pickup = engraveMeasure(bar('4/4', 's1 t5', { startsAt: 1440 }));
    const early = engraveMeasure(bar('4/4', 's1 t5', { ticks: 480 }));
    expect(full.view).toEqual({ x: 0, width: full.width });
    expect(pickup.view).toEqual({ x: pickup.width - full.width, width: full.width });
    expect(early.view).toEqual({ x: 0, width: full.width });
    expect(svgOf(pickup)).toContain(`viewBox="${pickup.view.x} 0 ${full.width} `);
  });

  test('a measure that is too long is drawn to its end', () => {
    const long = drawn('s3 . . . . . . . b123 t5');
    expect(long.places.slots).toHaveLength(10);
    expect(long.width).toBeGreaterThan(drawn('').width);
  });
});
