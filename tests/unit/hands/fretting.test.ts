import { describe, expect, test } from 'vitest';
import { frettingPath } from '../../../lib/hands/fretting';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import type { Bpm } from '../../../lib/units';
import { bar } from '../../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);

function pathOf(texts: readonly string[], tempo: Bpm = 110, capo = 0) {
  const neck = capo === 0 ? NECK : { ...NECK, capo, drone: capo };
  return frettingPath(
    texts.map((text) => bar('4/4', text)),
    neck,
    tempo,
  );
}

/** "stroke:string.fret/finger" for every stopped note. */
function fingers(text: string, tempo?: Bpm): string {
  const path = pathOf([text], tempo);
  if (!path.ok) return path.problems.map(({ words }) => words).join(' ');
  return path.value.moments
    .map(({ stroke, notes }) => {
      const on = notes.map(({ string, fret, finger }) => `${string}.${fret}/${finger}`);
      return `${stroke}:${on.join('+')}`;
    })
    .join(' ');
}

// One finger a fret in a hand that stays where it is: common practice, no source.
test.each([
  ['one finger a fret at the nut', 's3.2 . s2.1 t5 | s2.3 . b123 t5', '0:3.2/2 1:2.1/1 3:2.3/3'],
  ['open strings need no finger', 's3 . b123 t5 | s2 . b123 t5', ''],
  [
    'one fret under a whole brush is one flat finger',
    's1.5 . b1.5+2.5+3.5 t5 | s2 . b123 t5',
    '0:1.5/1 1:1.5/1+2.5/1+3.5/1',
  ],
  [
    'two frets at once are two fingers, the higher fret on the higher finger',
    's3 . b1.2+2.1 t5 | s2 . b123 t5',
    '1:1.2/2+2.1/1',
  ],
  [
    'one fret on two strings is two fingers side by side',
    's3 . b3.2+4.2 t5 | s2 . b123 t5',
    '1:3.2/3+4.2/2',
  ],
  [
    'two fingers at one fret lie in the order of the strings, the higher finger on the higher one',
    's3 . b1.2+2.1+3.0+4.2 t5 | s2 . b123 t5',
    '1:1.2/3+2.1/1+4.2/2',
  ],
  ['a stopped-hand brush needs no finger', 's3 . x123 t5 | s2 . b123 t5', ''],
  ['a slide keeps its finger', 's3.2 l3.4 b123 t5 | s2 . b123 t5', '0:3.2/1 1:3.4/1'],
  ['a hammer-on takes a higher finger', 's3.2 h3.4 b123 t5 | s2 . b123 t5', '0:3.2/1 1:3.4/3'],
  [
    'a pull-off to a fret takes a lower finger, which is down before',
    's3.4 p3.2 b123 t5 | s2 . b123 t5',
    '0:3.4/3 1:3.2/1',
  ],
])('%s', (_, text, expected) => {
  expect(fingers(text)).toBe(expected);
});

test('a note that is pulled off later stays stopped while other strings sound', () => {
  expect(fingers('s3.2 t5 s1 p3 | s2 . b123 t5')).toBe('0:3.2/2 1:3.2/2 2:3.2/2');
});

test('a flat finger does not lie across a string that sounds open', () => {
  expect(fingers('s3 . b1.2+2.0+3.2 t5 | s2 . b123 t5')).toMatch(/^1:1\.2\/(\d)\+3\.2\/(?!\1)\d$/);
});

describe('a moment is impossible, with where and why', () => {
  test.each<[string, string, Bpm, string]>([
    [
      'two frets at once that are too far apart',
      's3 . b1.2+2.9 t5 | s2 . b123 t5',
      110,
      'no-fingers 1 Stroke 2: frets 2 and 9 at once are further apart than a hand spans. Keep within 5 frets.',
    ],
    [
      'a move in the time of one slot',
      's1.2 t4.9 b123 t5 | s2 . b123 t5',
      90,
      'no-time 1 Stroke 2: from fret 2 to fret 9 in a sixth of a second; the hand needs a fifth of a second. An open string or the drone in between buys time.',
    ],
    [
      'a hammer-on out of the hand',
      's1.2 h1.9 b123 t5 | s2 . b123 t5',
      60,
      'out-of-hand 1 Stroke 2: a hammer-on from fret 2 to fret 9 finds no fingers under one hand here. Choose a nearer fret.',
    ],
    [
      'a pull-off out of the hand',
      's1.9 p1.2 b123 t5 | s2 . b123 t5',
      60,
      'out-of-hand 1 Stroke 2: a pull-off from fret 9 to fret 2 finds no fingers under one hand here. Choose a nearer fret.',
    ],
    [
      'four frets in a row with a low one below on one string',
      's3 . b1.1+2.2+3.3+4.6 t5 | s2 . b123 t5',
      60,
      'no-fingers 1 Stroke 2: frets 1 and 6 at once are further apart than a hand spans. Keep within 5 frets.',
    ],
  ])('%s', (_, text, tempo, expected) => {
    const path = pathOf([text], tempo);
    expect(
      path.ok ? [] : path.problems.map((p) => `${p.code} ${p.where.stroke} ${p.words}`),
    ).toEqual([expected]);
  });
});

describe('the time there is decides', () => {
  const FAR = 's1.2 . s1.12 t5 | s2 . b123 t5';

  test('what is out at dance tempo is possible at workshop tempo', () => {
    expect(pathOf([FAR], 130).ok).toBe(false);
    expect(pathOf([FAR], 50).ok).toBe(true);
  });

  test('the drone in between buys time', () => {
    expect(pathOf(['s1.2 t5 b123 t5 | s1.12 . b123 t5'], 130).ok).toBe(true);
  });

  test('a bar line is no wall: the move into the next measure needs time too', () => {
    const joined = pathOf(['s1 . b123 t5 | s1 . s1 t2.2', 's1.12 . b123 t5 | s1 . b123 t5'], 110);
    expect(joined.ok ? [] : joined.problems.map(({ where }) => where)).toEqual([
      { measure: 1, stroke: 0 },
    ]);
  });

  test('a move is reported with the time it has and the time it takes', () => {
    const path = pathOf([FAR], 60);
    expect(path.ok && path.value.shifts).toEqual([
      { measure: 0, stroke: 1, from: 2, to: 8, haveMs: 500, needMs: expect.closeTo(294.9, 0) },
    ]);
  });
});

describe('the hardest moment', () => {
  test.each<[string, string, Bpm, string | undefined]>([
    ['is none in a hand that stays at the nut', 's3.2 . s2.1 t5 | s2.3 . b123 t5', 110, undefined],
    [
      'is a move inside half a beat',
      's1.2 . s1.7 t5 | s2 . b123 t5',
      110,
      'Stroke 2: the hand moves from fret 2 to fret 3 in a quarter of a second.',
    ],
    [
      'is a stretch at the nut',
      's1.1 h1.5 b123 t5 | s2 . b123 t5',
      110,
      'Stroke 2: the little finger stretches to fret 5.',
    ],
    [
      'is no stretch up the neck, where frets are closer',
      's1.10 h1.14 b123 t5 | s2 . b123 t5',
      110,
      undefined,
    ],
  ])('%s', (_, text, tempo, words) => {
    const path = pathOf([text], tempo);
    expect(path.ok).toBe(true);
    expect(path.ok && path.value.hard[0]?.words).toBe(words);
  });

  test('a stretch at the nut is none behind a capo', () => {
    const path = pathOf(['s1.1 h1.5 b123 t5 | s2 . b123 t5'], 110, 7);
    expect(path.ok && path.value.hard).toEqual([]);
  });
});
