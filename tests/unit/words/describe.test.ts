import { describe, expect, test } from 'vitest';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { describeStroke, describeTuning, describe as say } from '../../../lib/words/describe';
import { bar } from '../../kit/tab';

function tuning(id: string) {
  const found = TUNINGS.find((each) => each.id === id);
  if (!found) throw new RangeError(id);
  return found;
}

describe('a measure in words', () => {
  test.each([
    ['s3 . b123 t5', 'Strike string 3 open; brush; thumb the drone.'],
    ['s3 h3.2 b123 t5', 'Strike string 3 open, hammer on to fret 2; brush; thumb the drone.'],
    [
      's1.2 p1 b1234 t5',
      'Strike string 1 at fret 2, pull off to open; brush all four; thumb the drone.',
    ],
    [
      's3.2 l3.4 s1 t5',
      'Strike string 3 at fret 2, slide to fret 4; strike string 1 open; thumb the drone.',
    ],
    [
      's1 t2.1 s1 t5',
      'Strike string 1 open; drop the thumb to string 2 at fret 1; strike string 1 open; thumb the drone.',
    ],
    [
      's3 t5 s2 t5.7',
      'Strike string 3 open; thumb the drone; strike string 2 open; thumb the drone at fret 7.',
    ],
    [
      's3 . b123 t5 s2.1 . b123 t5',
      'Strike string 3 open; brush; thumb the drone. Strike string 2 at fret 1; brush; thumb the drone.',
    ],
    [
      's1~160 h1.2~160 p1~160 b123 t5',
      'In a triplet: strike string 1 open, hammer on to fret 2, pull off to open; brush; thumb the drone.',
    ],
    [
      'r h2.1 b1.2+2.1+3.2 .',
      'Rest; hammer on string 2 to fret 1 from nowhere; brush strings 1 to 3 at 2, 1 and 2 and let it ring for 2 slots.',
    ],
    [
      's3.2 k1 x123 t5',
      'Strike string 3 at fret 2; with the fretting hand pluck string 1 open; with a stopped hand brush strings 1 to 3; thumb the drone.',
    ],
    [
      's3 b24 . t5',
      'Strike string 3 open for 1 slot; brush strings 2 and 4 open and let it ring for 2 slots; thumb the drone.',
    ],
    [
      's1~80 h1.2~80 p1~80 s1 t5 s2',
      'In a quick triplet: strike string 1 open, hammer on to fret 2, pull off to open; strike string 1 open; thumb the drone; strike string 2 open.',
    ],
    [
      's1~60 h1.2~60 p1~60 k1.2~60',
      'Strike string 1 open for a quarter of a slot, hammer on to fret 2 for a quarter of a slot, pull off to open for a quarter of a slot; with the fretting hand pluck string 1 at fret 2 for a quarter of a slot.',
    ],
    [
      's3.2~60 l3.4~180 s1 t5',
      'Strike string 3 at fret 2 for a quarter of a slot, slide to fret 4 for three quarters of a slot; strike string 1 open; thumb the drone.',
    ],
    ['s3 . . . . . . .', 'Strike string 3 open and let it ring for 8 slots.'],
    ['s3 t5@480', 'Strike string 3 open; on slot 3: thumb the drone.'],
    ['', 'Nothing is played here yet.'],
  ])('%s', (text, words) => {
    expect(say(bar('4/4', text))).toBe(words);
  });

  test('the plain pattern is short in every meter', () => {
    expect(say(bar('2/4', 's3 . b123 t5'))).toBe('Strike string 3 open; brush; thumb the drone.');
    expect(say(bar('6/8', 's3 b123 t5'))).toBe('Strike string 3 open; brush; thumb the drone.');
    expect(say(bar('3/4', 's3 . b123 t5 b123 t5'))).toBe(
      'Strike string 3 open; brush; thumb the drone. Brush; thumb the drone.',
    );
  });

  test('a pickup says where it begins', () => {
    expect(say(bar('4/4', 's1 t5', { startsAt: 1440 }))).toBe(
      'Pickup from slot 7: Strike string 1 open; thumb the drone.',
    );
  });

  test('with a neck, single notes have their letters, and frets that are not there have none', () => {
    const neck = neckOf(tuning('gDGBD'), 2);
    expect(say(bar('4/4', 's3 h3.2 b123 t5'), neck)).toBe(
      'Strike string 3 open (A), hammer on to fret 2 (B); brush; thumb the drone (A).',
    );
    expect(say(bar('4/4', 't5.2'), neck)).toBe('Thumb the drone at fret 2.');
  });
});

describe('one stroke in words', () => {
  test.each([
    [0, 'Slot 1: strike string 3 open for 1 slot.'],
    [1, 'Slot 2: hammer on string 3 to fret 2 for 1 slot.'],
    [2, 'Slot 3: brush for 2 slots.'],
  ])('stroke %i stands alone', (index, words) => {
    expect(describeStroke(bar('4/4', 's3 h3.2 b123 .'), index)).toBe(words);
  });

  test('a stroke that is not there is our mistake', () => {
    expect(() => describeStroke(bar('4/4', 's3'), 1)).toThrow(RangeError);
  });
});

test.each([
  ['gDGBD', 0, 0, 'open G, gDGBD'],
  ['gDGBD', 2, 2, 'open G, gDGBD, capo at 2'],
  ['gCGCD', 2, 0, 'double C, gCGCD, capo at 2, drone not raised'],
  ['gCGCD', 0, 1, 'double C, gCGCD, drone raised 1 semitone'],
])('%s with capo %i and drone %i is "%s"', (id, capo, drone, words) => {
  expect(describeTuning(neckOf(tuning(id), capo, drone))).toBe(words);
});
