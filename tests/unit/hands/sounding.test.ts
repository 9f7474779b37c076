import { describe, expect, test } from 'vitest';
import { checkFretting } from '../../../lib/hands/sounding';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { bar } from '../../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);

// What the fretting hand can do: common practice, no source.
test.each([
  ['a hammer-on to a higher fret', 's3.2 h3.4 b123 t5'],
  ['a hammer-on from the open string', 's3 h3.2 b123 t5'],
  ['a hammer from nowhere', 's3 h2.1 b123 t5'],
  ['a pull-off to a lower fret', 's3.4 p3.2 b123 t5'],
  ['a pull-off to the open string', 's3.2 p3 b123 t5'],
  ['a slide up and one down', 's3.2 l3.4 s3.4 l3.2'],
  ['a pluck of a string that was not struck', 's3 k2 b123 t5'],
  ['a chord under one hand', 's3 . b1.2+2.1+3.2 t5'],
  ['one finger flat over three strings', 's3 . b1.5+2.5+3.5 t5'],
  ['a stopped hand over any strings', 's3 . x1.1+4.12 t5'],
])('is possible: %s', (_, text) => {
  expect(checkFretting(bar('4/4', text), NECK)).toEqual([]);
});

describe('is impossible', () => {
  test.each([
    ['no-such-fret', 's3.23 . b123 t5', 'Stroke 1: string 3 has no fret 23 on this neck.'],
    ['no-such-fret', 's3 . b123 t5.3', 'Stroke 3: string 5 has no fret 3 on this neck.'],
    ['one-string-only', 's3 h2.2+3.2 b123 t5', 'Stroke 2: a hammer sounds one string.'],
    [
      'hammer-not-higher',
      's3.2 h3.2 b123 t5',
      'Stroke 2: a hammer-on goes to a higher fret than fret 2.',
    ],
    [
      'hammer-not-higher',
      's3 h2 b123 t5',
      'Stroke 2: a hammer-on goes to a higher fret than the open string.',
    ],
    ['pull-not-lower', 's3.2 p3.4 b123 t5', 'Stroke 2: a pull-off goes to a lower fret than 2.'],
    [
      'pull-not-lower',
      's3 p3 b123 t5',
      'Stroke 2: an open string has no lower note to pull off to.',
    ],
    [
      'nothing-sounding',
      's3.2 p2 b123 t5',
      'Stroke 2: string 2 does not sound yet, so nothing can be pulled off.',
    ],
    [
      'nothing-sounding',
      's3.2 l2.2 b123 t5',
      'Stroke 2: string 2 does not sound yet, so nothing can slide.',
    ],
    [
      'slide-from-open',
      's3 l3.2 b123 t5',
      'Stroke 2: an open string cannot slide. Start and end the slide on a fret.',
    ],
    [
      'slide-from-open',
      's3.2 l3 b123 t5',
      'Stroke 2: an open string cannot slide. Start and end the slide on a fret.',
    ],
    ['slide-nowhere', 's3.2 l3.2 b123 t5', 'Stroke 2: the slide starts where it ends, at fret 2.'],
    [
      'no-fingers',
      's3 . b1.2+2.9 t5',
      'Stroke 2: no hand has fingers for these frets at once. Bring them together, or leave a string open.',
    ],
    [
      'no-fingers',
      's3 . b1.1+2.2+3.3+4.6 t5',
      'Stroke 2: no hand has fingers for these frets at once. Bring them together, or leave a string open.',
    ],
    [
      'pull-not-lower',
      'x123 p3 b123 t5',
      'Stroke 2: an open string has no lower note to pull off to.',
    ],
  ])('%s: %s', (code, text, words) => {
    const problems = checkFretting(bar('4/4', text), NECK);
    expect(problems.map((p) => [p.code, p.words])).toEqual([[code, words]]);
  });
});

test('each stroke has one problem at most, in order', () => {
  const problems = checkFretting(bar('4/4', 's3.23 p2 l4.2 t5'), NECK);
  expect(problems.map(({ where }) => where.stroke)).toEqual([0, 1, 2]);
});
