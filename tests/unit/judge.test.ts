import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import type { JudgeContext, Judgement, JudgementId } from '../../lib/judge';
import { judge } from '../../lib/judge';
import { neckOf, TUNINGS } from '../../lib/tuning';
import { bar } from '../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);
const G: Key = { tonic: 'G', mode: 'major' };
const PLAIN = 's3 . s2 t5 | s1 . b123 t5';

interface Beside {
  readonly before?: string;
  readonly after?: string;
  readonly more?: Partial<JudgeContext>;
}

function judged(text: string, { before, after, more }: Beside = {}) {
  return judge(bar('4/4', text), {
    neck: NECK,
    key: G,
    tempo: 110,
    plain: bar('4/4', PLAIN),
    chord: 'G',
    ...(before === undefined ? {} : { before: bar('4/4', before) }),
    ...(after === undefined ? {} : { after: bar('4/4', after) }),
    ...more,
  });
}

/** One judgement as [verdict, words, strokes]. */
function said(id: JudgementId, text: string, beside?: Beside): [string, string, readonly number[]] {
  const { judgements } = judged(text, beside);
  const found = judgements.find((one): one is Judgement => one.id === id);
  if (!found) throw new RangeError(`no judgement ${id}`);
  return [found.verdict, found.words, found.strokes];
}

test('there are always five judgements in the order of the trade', () => {
  for (const text of [PLAIN, 's3 . b123', 's3 . t5 t5 | s1 . b123 t5'])
    expect(judged(text).judgements.map(({ id }) => id)).toEqual([
      'fits',
      'playable',
      'tune',
      'joins',
      'level',
    ]);
});

test('the plain measure passes all five without reserve', () => {
  expect(judged(PLAIN).judgements.map(({ verdict }) => verdict)).toEqual([
    'yes',
    'yes',
    'yes',
    'yes',
    'yes',
  ]);
});

describe('it fits', () => {
  test('not when the measure does not add up or the hand does not alternate, with all strokes that are to blame', () => {
    expect(said('fits', 's3 . t5 t5 | s1 . b123')).toEqual([
      'no',
      'The measure is 1 slot too short. Make the last stroke longer or add one. Stroke 2 is a thumb on slot 3, where the hand goes down. Put the thumb one slot later, or strike here.',
      [4, 1],
    ]);
  });
});

describe('it is playable', () => {
  test('not where the left hand has no time', () => {
    expect(said('playable', 's1.2 t4.9 s2 t5 | s1 . b123 t5', { more: { tempo: 90 } })).toEqual([
      'no',
      'Stroke 2: from fret 2 to fret 9 in a sixth of a second; the hand needs a fifth of a second. An open string or the drone in between buys time.',
      [1],
    ]);
  });

  test('not where frets at once need more than a hand, told once', () => {
    expect(said('playable', 's3 . b1.2+2.9 t5 | s1 . b123 t5')).toEqual([
      'no',
      'Stroke 2: no hand has fingers for these frets at once. Bring them together, or leave a string open.',
      [1],
    ]);
  });

  test('not where a pull-off has nothing to leave', () => {
    expect(said('playable', 's3 p3 s2 t5 | s1 . b123 t5')).toEqual([
      'no',
      'Stroke 2: an open string has no lower note to pull off to.',
      [1],
    ]);
  });

  test('with a warning where a move takes more than half of the time', () => {
    expect(said('playable', 's1.2 . s1.7 t5 | s1 . b123 t5')).toEqual([
      'warn',
      'Stroke 2: the hand moves from fret 2 to fret 3 in a quarter of a second.',
      [1],
    ]);
  });
});

describe('it is still the tune', () => {
  test.each<[string, string, readonly [string, string, readonly number[]]]>([
    [
      'with ornaments of chord and scale',
      's3 h3.2 s2 t5 | s1 h1.2 b123 t5',
      ['yes', 'Every melody note is heard in its place, and what is added fits the harmony.', []],
    ],
    [
      'with a note outside that leads back in',
      's3 h3.3 s2 t5 | s1 . b123 t5',
      ['yes', 'Every melody note is heard in its place, and what is added fits the harmony.', []],
    ],
    [
      'with reserve where one of three notes is gone',
      's3 . b123 t5 | b123 . b123 t5',
      ['warn', "The melody's B (slot 3) is not heard in its bum-ditty.", []],
    ],
    [
      'no more where most are gone',
      's4 . b34 t5 | s4 . b34 t5',
      ['no', "The melody's B (slot 3), D (slot 5) are not heard in their bum-ditties.", []],
    ],
    [
      'with reserve where a note sounds outside',
      's3 h3.3 s2 t5 | s1 h1.1 b123 t5',
      ['warn', 'Stroke 6 sounds outside of G and the scale and does not lead back in.', [5]],
    ],
  ])('%s', (_, text, expected) => {
    expect(said('tune', text)).toEqual(expected);
  });

  test('with reserve where a note outside leads back in only after the next beat', () => {
    const late = { more: { plain: bar('4/4', 's3 . b123 t5 | r . s2 t5') } };
    expect(said('tune', 's3 h3.3 b123 t5 | r . s2 t5', late)).toEqual([
      'warn',
      'Stroke 2 sounds outside of G and the scale and does not lead back in.',
      [1],
    ]);
  });

  test('by the marks where there are some', () => {
    const marked = { more: { melody: [0, 960] } };
    expect(said('tune', 's3 . b123 t5 | s1 . b123 t5', marked)[0]).toBe('yes');
  });

  test('in the chord that the melody suggests where none is written', () => {
    const { tune } = judge(bar('4/4', PLAIN), {
      neck: NECK,
      key: G,
      tempo: 110,
      plain: bar('4/4', PLAIN),
    });
    expect([tune.chord.symbol, tune.inferred]).toEqual(['G', true]);
    expect(judged(PLAIN).tune.inferred).toBe(false);
    expect(judged(PLAIN, { more: { chord: 'what' } }).tune.inferred).toBe(true);
  });
});

describe('it joins its neighbours', () => {
  const HIGH = 's1.12 . b123 t5 | s1.12 . s1.12 t5';
  test.each<[string, string, Beside, readonly [string, string, readonly number[]]]>([
    ['alone', PLAIN, {}, ['yes', 'There is nothing beside it.', []]],
    [
      'with open strings at the bar line',
      PLAIN,
      { before: HIGH, after: HIGH },
      ['yes', 'The hand has time at both bar lines.', []],
    ],
    [
      'not from a high hand to a low one in a slot',
      's1.2 . s2 t5 | s1 . b123 t5',
      { before: 's1 . b123 t5 | s1 . s1 t2.12' },
      [
        'no',
        'From the measure before: Stroke 1: from fret 12 to fret 2 in an eighth of a second; the hand needs a third of a second. An open string or the drone in between buys time.',
        [0],
      ],
    ],
    [
      'not into a high hand in a slot',
      's3 . s2 t5 | s1 . s1 t2.2',
      { after: HIGH },
      [
        'no',
        'Into the measure after: Stroke 1: from fret 2 to fret 12 in an eighth of a second; the hand needs a third of a second. An open string or the drone in between buys time.',
        [],
      ],
    ],
    [
      'with a warning where half a beat is left',
      's3 . s2 t5 | s1 . s1.2 t5',
      { after: 's1.7 . b123 t5 | s1 . b123 t5' },
      [
        'warn',
        'Into the measure after the hand moves from fret 2 to fret 3 in a quarter of a second.',
        [],
      ],
    ],
    [
      'without a warning where the hand moves but has a whole beat to do so',
      's3 . s2 t5 | s1.2 . . .',
      { after: 's1.7 . b123 t5 | s1 . b123 t5' },
      ['yes', 'The hand has time at both bar lines.', []],
    ],
    [
      'where the neighbour is impossible by itself',
      PLAIN,
      { after: 's1.2 t4.12 s1.2 t5 | s1 . b123 t5' },
      ['yes', 'A neighbour cannot be played, but not because of this measure.', []],
    ],
    [
      'not before it can be played itself',
      's1.2 t4.12 s2 t5 | s1 . b123 t5',
      { after: PLAIN },
      ['no', 'It cannot be joined before it can be played itself.', []],
    ],
  ])('%s', (_, text, beside, expected) => {
    expect(said('joins', text, beside)).toEqual(expected);
  });
});

describe('the level', () => {
  const BUSY = 's3 h3.2 s2 t5 | s1 t2 s1 t5';
  test.each([
    [undefined, 'yes'],
    [3, 'yes'],
    [2, 'warn'],
    [1, 'no'],
  ] as const)('for a player of level %s: %s', (level, verdict) => {
    const more = level === undefined ? {} : { level };
    expect(said('level', BUSY, { more })).toEqual([
      verdict,
      'Level 3 of 5: several new things, or one that takes practice. In it: a dropped thumb; a hammer-on.',
      [5, 1],
    ]);
  });
});

test('tab that the neck does not have is judged, not thrown at', () => {
  const broken = judged('s3.24 . s2 t5 | s1 . b123 t5', { more: { neck: neckOf(gDGBD, 7) } });
  expect(broken.judgements[1]?.verdict).toBe('no');
});
