import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

const PLAIN = 's3 . b123 t5 | s3.2 . b123 t5';

// Where a hammer-on goes: common practice, no source.
describe('a hammer-on is possible', () => {
  test.each<[string, string, Asked, string]>([
    ['on an open string, two frets up first', PLAIN, {}, 's3 h3.2 b123 t5 | s3.2 . b123 t5'],
    [
      'into a fretted note from the open string',
      PLAIN,
      { stroke: 3 },
      's3 . b123 t5 | s3 h3.2 b123 t5',
    ],
    [
      'into a note out of reach of the open string, from two frets lower',
      's1.7 . b123 t5 | s3 . b123 t5',
      {},
      's1.5 h1.7 b123 t5 | s3 . b123 t5',
    ],
    [
      'on a long strike in the place of the brush',
      's3 . s3 . | s3 . b123 t5',
      { stroke: 1 },
      's3 . s3 h3.2 | s3 . b123 t5',
    ],
    ['on a note of a whole bum-ditty', 's3 . . . | s3 . b123 t5', {}, 's3 h3.2 . . | s3 . b123 t5'],
    ['in 2/2', PLAIN, { meter: '2/2' }, 's3 h3.2 b123 t5 | s3.2 . b123 t5'],
    ['in 2/4', PLAIN, { meter: '2/4' }, 's3 h3.2 b123 t5 | s3.2 . b123 t5'],
    ['in 3/4', 's3 . b123 t5 | b123 t5', { meter: '3/4' }, 's3 h3.2 b123 t5 | b123 t5'],
    [
      'in 6/8 in the place of the brush',
      's3 b123 t5 | s3 b123 t5',
      { meter: '6/8' },
      's3 h3.2 t5 | s3 b123 t5',
    ],
    [
      'in 6/8 on a note that is held',
      's3 . t5 | s3 b123 t5',
      { meter: '6/8' },
      's3 h3.2 t5 | s3 b123 t5',
    ],
    ['in a pickup', 's4 .', { startsAt: 1440 }, 's4 h4.2'],
  ])('%s', (_, text, asked, first) => {
    expect(offered('hammer-on', text, asked)[0]).toBe(first);
  });

  test('from an open string up to four frets, the easy ones first', () => {
    expect(offered('hammer-on', PLAIN)).toEqual(
      [2, 1, 3, 4].map((fret) => `s3 h3.${fret} b123 t5 | s3.2 . b123 t5`),
    );
  });

  test('on a fretted note: reached from below, then left upwards', () => {
    expect(offered('hammer-on', 's3.2 . . . . . . .')).toEqual(
      ['s3 h3.2', 's3.1 h3.2', 's3.2 h3.4', 's3.2 h3.3', 's3.2 h3.5', 's3.2 h3.6'].map(
        (text) => `${text} . . | . . . .`,
      ),
    );
  });

  test('at the end of the neck only into the note', () => {
    expect(offered('hammer-on', 's3.22 . . . . . . .')).toEqual(
      [20, 21, 19, 18].map((fret) => `s3.${fret} h3.22 . . | . . . .`),
    );
  });

  test('and says what to do', () => {
    expect(answered('hammer-on', PLAIN).offers[0]?.words).toBe(
      'Strike string 3 open, hammer on to fret 2.',
    );
    expect(answered('hammer-on', PLAIN, { stroke: 3 }).offers[0]?.words).toBe(
      'Strike string 3 open and hammer on into the note at fret 2.',
    );
  });
});

describe('a hammer-on is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds in its slot',
      's3 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
    [
      'where a hammer-on stands already',
      's3 h3.2 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has a hammer-on. Take that away, so that the strike lasts two slots.',
    ],
    [
      'in 6/8 where a strike follows at once',
      's3 s2 t5 | s3 b123 t5',
      { meter: '6/8' },
      'slot-taken: The slot after this strike already has a strike on string 2. Take that away, so that the strike lasts two slots.',
    ],
    [
      'on a brush',
      PLAIN,
      { stroke: 1 },
      'not-a-strike: This is a brush. Choose a strike on a single string.',
    ],
    [
      'on a thumb',
      PLAIN,
      { stroke: 2 },
      'not-a-strike: This is the thumb on string 5. Choose a strike on a single string.',
    ],
    [
      'on a rest',
      'r . b123 t5 | s3 . b123 t5',
      {},
      'not-a-strike: This is a rest. Choose a strike on a single string.',
    ],
    [
      'on the drone',
      's5 . b123 t5 | s3 . b123 t5',
      {},
      'on-the-drone: This strikes the drone, which rings open. Choose a strike on strings 1 to 4.',
    ],
    [
      'where the measure ends with the note',
      's3 . b123 t5 | s3 . s3',
      { stroke: 4, ticks: 1680 },
      'too-short: The measure ends with this note. It needs two slots: make it longer.',
    ],
    [
      'where the next sound of the left hand would no longer be possible',
      's3 . h3.1 t5 | s3 . b123 t5',
      {},
      'nothing-fits: No fret within reach fits here together with the strokes around it. Try another stroke.',
    ],
    [
      'before the measure adds up',
      's3 . b123 t5',
      {},
      'measure-broken: Mend the measure first. The measure is 4 slots too short. Make the last stroke longer or add one.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('hammer-on', text, asked)).toEqual([words]);
  });

  test('with an exception for a stroke that is not there, which is our mistake', () => {
    expect(() => answered('hammer-on', PLAIN, { stroke: 6 })).toThrow(RangeError);
  });
});
