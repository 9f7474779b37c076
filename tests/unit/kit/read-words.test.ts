import { describe, expect, test } from 'vitest';
import type { MeterName } from '../../../lib/rhythm';
import { meterNamed } from '../../../lib/rhythm';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { readStroke, readWords } from '../../kit/read-words';
import { textOf } from '../../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');

// What is to be played was written down by hand, not by the module that speaks.
describe('a listener who knows the bum-ditty plays', () => {
  test.each<[MeterName, string, string]>([
    ['4/4', 'Strike string 3 open; brush; thumb the drone.', 's3 . b123 t5'],
    ['2/4', 'Strike string 3 open; brush; thumb the drone.', 's3 . b123 t5'],
    ['6/8', 'Strike string 3 open; brush; thumb the drone.', 's3 b123 t5'],
    [
      '3/4',
      'Strike string 3 open; brush; thumb the drone. Brush; thumb the drone.',
      's3 . b123 t5 | b123 t5',
    ],
    [
      '4/4',
      'Strike string 3 open, hammer on to fret 2; brush all four; thumb the drone.',
      's3 h3.2 b1234 t5',
    ],
    [
      '4/4',
      'Strike string 1 open; drop the thumb to string 2 at fret 1; strike string 1 open; thumb the drone at fret 7.',
      's1 t2.1 s1 t5.7',
    ],
    [
      '4/4',
      'In a triplet: strike string 1 open, hammer on to fret 2, pull off to open; brush strings 1 to 3 at 2, open and 2.',
      's1~160 h1.2~160 p1~160 b1.2+2.0+3.2',
    ],
    [
      '4/4',
      'Rest; hammer on string 2 to fret 1 from nowhere; with a stopped hand brush strings 2 and 4 for 2 slots.',
      'r h2.1 x24 .',
    ],
    [
      '4/4',
      'Strike string 3 at fret 2 for a third of a slot, slide to fret 4 and let it ring for 1 and 2/3 slots; thumb the drone.',
      's3.2~80 l3.4~400 t5',
    ],
  ])('in %s of "%s" what was said', (meter, words, text) => {
    const { strokes } = readWords(meter, words);
    expect(textOf({ meter: meterNamed(meter), startsAt: 0, strokes })).toBe(text);
  });
});

describe('the reader is strict', () => {
  test.each([
    ['a word that nobody says', 'Strum string 3 open.'],
    ['a string that is not there', 'Strike string 6 open.'],
    ['a missing full stop', 'Strike string 3 open'],
    ['a sentence without a capital', 'strike string 3 open.'],
    ['two spaces', 'Strike  string 3 open.'],
    ['a usual length that is told', 'Strike string 3 open for 2 slots; brush; thumb the drone.'],
    [
      'a shorter length that is said to ring',
      'Strike string 3 open and let it ring for 1 slot; brush.',
    ],
    ['a rest that rings', 'Rest and let it ring for 2 slots.'],
    ['a bum-ditty in two sentences', 'Strike string 3 open. Brush; thumb the drone.'],
    ['two bum-ditties in one sentence', 'Strike string 3 open; brush; thumb the drone; brush.'],
    ['a moment that goes without saying', 'Strike string 3 open; on slot 3: brush.'],
    ['a hammer on no string', 'Brush, hammer on to fret 2.'],
    [
      'a hammer from nowhere where the string sounds',
      'Strike string 3 open; hammer on string 3 to fret 2 from nowhere.',
    ],
    ['a hammer from a string that is silent', 'Hammer on string 3 to fret 2.'],
    ['more frets than strings', 'Brush strings 1 and 2 at 1, 2 and 3.'],
    ['one fret told string by string', 'Brush strings 1 and 2 at 2 and 2.'],
    ['a letter where no neck was given', 'Strike string 3 open (G).'],
  ])('%s', (_, words) => {
    expect(() => readWords('4/4', words)).toThrow(RangeError);
  });

  test('a letter that the string does not sound', () => {
    const neck = neckOf(gDGBD);
    expect(readWords('4/4', 'Strike string 3 open (G).', neck).strokes).toHaveLength(1);
    expect(() => readWords('4/4', 'Strike string 3 open (A).', neck)).toThrow(RangeError);
    expect(() => readWords('4/4', 'Strike string 3 open.', neck)).toThrow(RangeError);
  });

  test('one stroke in two sentences', () => {
    expect(() => readStroke('4/4', 'Slot 1: brush for 1 slot. Slot 2: brush for 1 slot.')).toThrow(
      RangeError,
    );
  });
});
