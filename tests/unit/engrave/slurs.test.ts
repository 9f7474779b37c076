import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { bar } from '../../kit/tab';
import { countOf, numbersOf, textsOf } from './picture';

function drawn(text: string) {
  return engraveMeasure(bar('4/4', text));
}

describe('letters and slurs', () => {
  test.each([
    ['s3 . b123 t5', [], 0, 'a plain bum-ditty has none'],
    ['s3 h3.2 b123 t5', ['H'], 1, 'a hammer has a slur'],
    ['s1.2 p1 b123 t5', ['P'], 1, 'a pull has a slur'],
    ['s3.2 l3.4 b123 t5', ['SL'], 1, 'a slide has a slur'],
    ['s1 t2 s1 t5', ['T'], 0, 'a dropped thumb has a letter only'],
    ['s3 t5 s2 t5', [], 0, 'the drone needs no letter'],
    ['s3.2 k1 b123 t5', ['P'], 0, 'a pluck comes from no note'],
    ['s3 h2.1 b123 t5', ['H'], 0, 'a hammer from nowhere comes from no note'],
    ['p1 . b123 t5', ['P'], 1, 'a pull at the start comes over the bar line'],
    ['s1~160 h1.2~160 p1~160 b123 t5', ['H', 'P'], 2, 'a triplet has two'],
  ])('%s: letters %j, %i slurs (%s)', (text, letters, slurs) => {
    const picture = drawn(text);
    expect(textsOf(picture, 'mark')).toEqual(letters);
    expect(countOf(picture, 'slur')).toBe(slurs);
  });

  test('a slur runs between its two numbers, above their line', () => {
    const picture = drawn('s2.1 t5 b13 h2.3');
    const ends = numbersOf(picture).filter(({ string }) => string === 2);
    const [slur] = picture.primitives.flatMap((each) =>
      each.kind === 'path' && each.role === 'slur' ? [each] : [],
    );
    const [start, curve] = slur?.steps ?? [];
    const line = picture.places.staff.top + 10;
    expect(start?.[1]).toBeGreaterThan(ends[0]?.x ?? Number.NaN);
    expect(curve?.[3]).toBeLessThan(ends[1]?.x ?? Number.NaN);
    expect(start?.[2]).toBeLessThan(line);
    expect(curve?.[2]).toBeLessThan(line);
  });

  test.each([
    ['s3.2 l3.4', 'up'],
    ['s3.4 l3.2', 'down'],
  ])('the line of the slide %s goes %s', (text, way) => {
    const [line] = drawn(text).primitives.flatMap((each) =>
      each.kind === 'line' && each.role === 'slide' ? [each] : [],
    );
    expect(line && line.y2 < line.y1 ? 'up' : 'down').toBe(way);
    expect(line?.y2).not.toBe(line?.y1);
  });

  test('H, P and SL stand above the staff, T below', () => {
    const { primitives, places } = drawn('s3 h3.2 s1 t2');
    const heights = primitives.flatMap((each) =>
      each.kind === 'text' && each.role === 'mark' ? [[each.text, each.y] as const] : [],
    );
    expect(heights.map(([text]) => text)).toEqual(['H', 'T']);
    expect(heights[0]?.[1]).toBeLessThan(places.staff.top);
    expect(heights[1]?.[1]).toBeGreaterThan(places.staff.bottom);
  });
});
