import { describe, expect, test } from 'vitest';
import { frettingPath } from '../../../lib/hands/fretting';
import { difficultyOf } from '../../../lib/hands/level';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import type { Bpm } from '../../../lib/units';
import { bar } from '../../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);

function difficulty(text: string, tempo: Bpm = 110) {
  const measure = bar('4/4', text);
  const path = frettingPath([measure], NECK, tempo);
  if (!path.ok) throw new RangeError(`cannot be played: ${text}`);
  return difficultyOf(measure, path.value.hard, tempo);
}

// The level that a leader would give: common practice, no source.
test.each([
  [1, 'the plain bum-ditty', 's3 . b123 t5 | s2 . b123 t5'],
  [1, 'the plain pattern with fretted notes', 's3.2 . s2.1 t5 | s1.2 . b123 t5'],
  [2, 'one hammer-on', 's3 h3.2 b123 t5 | s2 . b123 t5'],
  [2, 'one second thumb', 's3 t5 b123 t5 | s2 . b123 t5'],
  [2, 'two left-hand notes', 's3 h3.2 b123 t5 | s2.1 p2 b123 t5'],
  [3, 'a hammer-on and a dropped thumb', 's3 h3.2 b123 t5 | s1 t2 s1 t5'],
  [3, 'a triplet', 's3~160 h3.2~160 p3~160 b123 t5 | s2 . b123 t5'],
  [4, 'drop thumbing throughout', 's1 t2 s1 t3 | s1 t2 s1 t5'],
  [
    5,
    'two triplets with dropped thumbs',
    's3~160 h3.2~160 p3~160 s1 t2 | s2~160 h2.1~160 p2~160 s1 t2',
  ],
] as const)('level %i for %s', (level, _, text) => {
  expect(difficulty(text).level).toBe(level);
});

describe('what makes a measure harder', () => {
  test('the same at a faster tempo', () => {
    const text = 's3 h3.2 b123 t5 | s1 t2 s1 t5';
    const points = [50, 80, 110, 125].map((tempo) => difficulty(text, tempo).points);
    expect([...points].sort((a, b) => a - b)).toEqual(points);
    expect(new Set(points).size).toBe(4);
  });

  test('a move along the neck that takes most of the time there is', () => {
    expect(difficulty('s1.2 . s1.9 t5 | s2 . b123 t5').level).toBeGreaterThan(
      difficulty('s1.2 . s1.3 t5 | s2 . b123 t5').level,
    );
  });

  test('is told as reasons, the heaviest first, with the stroke', () => {
    expect(
      difficulty('s3 h3.2 b123 t5 | s1 t2 s1 t5').reasons.map((r) => [r.stroke, r.words]),
    ).toEqual([
      [5, 'a dropped thumb'],
      [1, 'a hammer-on'],
    ]);
  });

  test('a note on a string that was not struck is more than one on the string that was', () => {
    expect(difficulty('s3 h2.2 b123 t5 | s2 . b123 t5').points).toBeGreaterThan(
      difficulty('s3 h3.2 b123 t5 | s2 . b123 t5').points,
    );
  });
});
