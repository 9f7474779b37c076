import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import { melodyKept, melodyLikeness } from '../../lib/likeness';
import { melodyMarks, melodyOf } from '../../lib/melody-marks';
import type { MeterName } from '../../lib/rhythm';
import { neckOf, TUNINGS } from '../../lib/tuning';
import { bar } from '../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);
const G: Key = { tonic: 'G', mode: 'major' };

// How basic clawhammer carries a tune: common practice, no source.
test.each<[string, MeterName, string, readonly number[]]>([
  ['strikes, not brushes and drone', '4/4', 's3 . b123 t5 | s2 . s1 t5', [0, 960, 1440]],
  ['the thumb on an inner string', '4/4', 's1 t2 s1 t5 | s2 . b123 t5', [0, 240, 480, 960]],
  ['what the left hand sounds', '4/4', 's3 h3.2 b123 t5 | s2.1 p2 b123 t5', [0, 240, 960, 1200]],
  ['a brush where a bum-ditty begins with it', '4/4', 'b123 . b123 t5 | r . b123 t5', [0]],
  ['in 6/8 strikes on the halves', '6/8', 's3 b123 t5 | b123 . t5', [0, 720]],
])('the melody is %s', (_, meter, text, marks) => {
  expect(melodyMarks(bar(meter, text))).toEqual(marks);
});

test('a melody note lasts until the next one or the next finger stroke, and of a brush the highest string is meant', () => {
  expect(melodyOf(bar('4/4', 's3 . b123 t5 | b2.1+3.0 . b123 t5'), NECK)).toEqual([
    { at: 0, length: 480, note: { string: 3, fret: 0 }, midi: 55 },
    { at: 960, length: 480, note: { string: 2, fret: 1 }, midi: 60 },
  ]);
});

function keptIn(plain: string, varied: string, meter: MeterName = '4/4') {
  return melodyKept(melodyOf(bar(meter, plain), NECK), bar(meter, varied), NECK);
}

const PLAIN = 's3 . s2 t5 | s1 . b123 t5';

describe('the melody is kept', () => {
  test.each([
    ['by the plain measure itself', PLAIN],
    ['with an ornament after the note', 's3 h3.2 s2 t5 | s1 p1 b123 t5'],
    ['when a slide reaches the note on the next lower string', 's4.3 l4.5 s2 t5 | s1 . b123 t5'],
    ['when the thumb sounds it late', 'r t3 s2 t5 | s1 . b123 t5'],
    ['on top of a brush', 's3 . s2 t5 | b1234 . b123 t5'],
    ['on another string at the same pitch', 's3 . s3.4 t5 | s1 . b123 t5'],
  ])('%s', (_, varied) => {
    expect(keptIn(PLAIN, varied)).toEqual({ kept: 3, of: 3, missing: [] });
  });
});

describe('the melody is lost', () => {
  test.each([
    ['where a note is not heard', 's3 . b123 t5 | s1 . b123 t5', [480]],
    ['where a note is heard only in the next bum-ditty', 's3 . b123 t5 | s2 . s1 t5', [480]],
    ['where two notes change places', 's2 . s3 t5 | s1 . b123 t5', [480]],
    ['inside a brush below its highest string', 's3 . b12 t5 | s1 . b123 t5', [480]],
    ['in a click', 's3 . x2 t5 | s1 . b123 t5', [480]],
  ])('%s', (_, varied, missing) => {
    expect(keptIn(PLAIN, varied).missing.map(({ at }) => at)).toEqual(missing);
  });

  test('by the drone, unless the melody itself plays the drone', () => {
    expect(keptIn('s1.5 . b123 t5 | s1 . b123 t5', 's3 . b123 t5 | s1 . b123 t5').kept).toBe(1);
    expect(keptIn('s5 . b123 t5 | s1 . b123 t5', 'r . b123 t5 | s1 . b123 t5').kept).toBe(2);
  });
});

describe('likeness of the line', () => {
  const like = (varied: string) =>
    melodyLikeness(melodyOf(bar('4/4', PLAIN), NECK), bar('4/4', varied), NECK, G);

  test('is 1 for the melody itself, with or without drone and click', () => {
    expect(like(PLAIN)).toBe(1);
    expect(like('s3 t5 s2 t5 | s1 . x123 t5')).toBe(1);
  });

  test('falls with every ornament and further with every note that is lost', () => {
    const one = like('s3 h3.2 s2 t5 | s1 . b123 t5');
    const two = like('s3 h3.2 s2 t5 | s1 h1.2 b123 t5');
    const lost = like('s4 h4.2 s4 t3 | s1 h1.2 b123 t5');
    expect(one).toBeLessThan(1);
    expect(two).toBeLessThan(one);
    expect(lost).toBeLessThan(two);
    expect(two).toBeGreaterThan(0.5);
  });
});
