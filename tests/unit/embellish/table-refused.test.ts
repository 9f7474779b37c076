import { describe, expect, test } from 'vitest';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { Asked } from './offered';
import { refusedFor } from './offered';

/** A place, and the measure and stroke where it stands. */
const PLACES = {
  'in a measure that is too short': ['s3 . b123 t5', {}],
  'in a measure with a pull-off on an open string': ['s3 p3 b123 t5 | s2 . b123 t5', {}],
  'on a brush': ['s3 . b123 t5 | s2 . b123 t5', { stroke: 1 }],
  'on the thumb': ['s3 . b123 t5 | s2 . b123 t5', { stroke: 2 }],
  'on a rest where the hand comes up': ['s3 r b123 t5 | s2 . b123 t5', { stroke: 1 }],
  'on a stopped hand': ['s3 . x123 t5 | s2 . b123 t5', { stroke: 1 }],
  'on a hammer-on': ['s3 h3.2 b123 t5 | s2 . b123 t5', { stroke: 1 }],
  'on a left-hand pluck': ['s3 k2 b123 t5 | s2 . b123 t5', { stroke: 1 }],
  'on a strike of the drone': ['s5 . b123 t5 | s2 . b123 t5', {}],
  'where the thumb has the next slot': ['s3 t5 b123 t5 | s2 . b123 t5', {}],
  'where a pull-off has the next slot': ['s3.2 p3 b123 t5 | s2 . b123 t5', {}],
  'in jig time before a strike': ['s3 s2 t5 | s3 b123 t5', { meter: '6/8' }],
  'where the measure ends after one slot': ['s3 . b123 t5 | s3 . s3', { stroke: 4, ticks: 1680 }],
  'on string 4': ['s4 . b123 t5 | s2 . b123 t5', {}],
} as const satisfies Readonly<Record<string, readonly [string, Asked]>>;
type Place = keyof typeof PLACES;

const BROKEN = {
  'in a measure that is too short':
    'measure-broken: Mend the measure first. The measure is 4 slots too short. Make the last stroke longer or add one.',
  'in a measure with a pull-off on an open string':
    'measure-broken: Mend the measure first. Stroke 2: an open string has no lower note to pull off to.',
} as const;

const notAStrike = (what: string) =>
  `not-a-strike: This is ${what}. Choose a strike on a single string.`;
/** What every family says that needs a strike on one of strings 1 to 4. */
const NEEDS_STRIKE = {
  ...BROKEN,
  'on a brush': notAStrike('a brush'),
  'on the thumb': notAStrike('the thumb on string 5'),
  'on a rest where the hand comes up': notAStrike('a rest'),
  'on a stopped hand': notAStrike('a brush with a stopped hand'),
  'on a hammer-on': notAStrike('a hammer-on'),
  'on a left-hand pluck': notAStrike('a left-hand pluck'),
  'on a strike of the drone':
    'on-the-drone: This strikes the drone, which rings open. Choose a strike on strings 1 to 4.',
} as const;

const taken = (what: string) =>
  `slot-taken: The slot after this strike already has ${what}. Take that away, so that the strike lasts two slots.`;
/** What every family says that puts one more note into the slot after the strike. */
const NEEDS_SLOT = {
  ...NEEDS_STRIKE,
  'where the thumb has the next slot': taken('the thumb on string 5'),
  'where a pull-off has the next slot': taken('a pull-off'),
  'in jig time before a strike': taken('a strike on string 2'),
  'where the measure ends after one slot':
    'too-short: The measure ends with this note. It needs two slots: make it longer.',
} as const;

const noRoomForThumb =
  'too-short: The measure ends with this note. It needs room for the thumb after it: make it longer.';
const tooShortToBrush =
  'too-short: This note ends before the hand goes down again. Make it longer, so that a brush fits in.';
const notAFinger = (what: string, helps: string) =>
  `not-a-finger-stroke: This is ${what}. ${helps}`;
const secondThumb = (what: string) =>
  notAFinger(what, 'The second thumb follows a strike or a brush.');
const missed = (what: string) => notAFinger(what, 'Only a strike or a brush can be missed.');
const thumbAlready =
  'thumb-already: The thumb already sounds the drone after this stroke. Choose a stroke that lacks it.';
const nothingCarries =
  'nothing-carries: After a missed stroke the thumb or the left hand has to sound in the next slot, and none does. Choose a longer note or one with a thumb after it.';
const stops = (what: string) =>
  `nothing-to-stop: This is ${what}. Choose a brush, a rest, or a strike that lasts past the next downward motion.`;

/** Where each family is refused and in which words; at every other place it is possible. Common practice, no source. */
const REFUSED: Readonly<Record<FamilyId, Partial<Readonly<Record<Place, string>>>>> = {
  'hammer-on': NEEDS_SLOT,
  'pull-off': NEEDS_SLOT,
  slide: {
    ...NEEDS_SLOT,
    'on string 4':
      'open-string: An open string cannot slide, and the next lower string has no fret that slides into the same note. Choose a fretted note.',
  },
  'double-thumb': {
    ...BROKEN,
    'on a brush': thumbAlready,
    'on the thumb': secondThumb('the thumb on string 5'),
    'on a rest where the hand comes up': secondThumb('a rest'),
    'on a stopped hand': secondThumb('a brush with a stopped hand'),
    'on a hammer-on': secondThumb('a hammer-on'),
    'on a left-hand pluck': secondThumb('a left-hand pluck'),
    'where the thumb has the next slot': thumbAlready,
    'where a pull-off has the next slot':
      'slot-taken: The slot where the hand comes up already has a pull-off. Take that away first.',
    'in jig time before a strike': thumbAlready,
    'where the measure ends after one slot': noRoomForThumb,
  },
  'drop-thumb': {
    ...NEEDS_STRIKE,
    'where a pull-off has the next slot':
      'slot-taken: The slot where the thumb would drop in already has a pull-off. Take that away, so that the strike lasts two slots.',
    'in jig time before a strike':
      'slot-taken: The slot where the thumb would drop in already has a strike on string 2. Take that away, so that the strike lasts two slots.',
    'where the measure ends after one slot': noRoomForThumb,
    'on string 4':
      'no-inner-string: On the bass side of string 4 there is no inner string for the thumb. Choose a strike on strings 1 to 3.',
  },
  'added-brush': {
    ...NEEDS_STRIKE,
    'where the thumb has the next slot': tooShortToBrush,
    'where a pull-off has the next slot': tooShortToBrush,
    'in jig time before a strike': tooShortToBrush,
    'where the measure ends after one slot': tooShortToBrush,
    'on string 4': tooShortToBrush,
  },
  skip: {
    ...BROKEN,
    'on the thumb': missed('the thumb on string 5'),
    'on a rest where the hand comes up': missed('a rest'),
    'on a stopped hand': missed('a brush with a stopped hand'),
    'on a hammer-on': missed('a hammer-on'),
    'on a left-hand pluck': missed('a left-hand pluck'),
    'where a pull-off has the next slot':
      'nothing-fits: The stroke after this one comes from it, so it cannot be missed. Choose another stroke.',
    'in jig time before a strike': nothingCarries,
    'where the measure ends after one slot': nothingCarries,
  },
  'hammer-from-nowhere': NEEDS_SLOT,
  'alternate-pull-off': NEEDS_SLOT,
  triplet: NEEDS_SLOT,
  'stopped-hand': {
    ...BROKEN,
    'on the thumb': stops('the thumb on string 5'),
    'on a rest where the hand comes up':
      'nothing-fits: The hand does not go down here, so it cannot brush. Choose a rest where it does.',
    'on a stopped hand': stops('a brush with a stopped hand'),
    'on a hammer-on': stops('a hammer-on'),
    'on a left-hand pluck': stops('a left-hand pluck'),
    'on a strike of the drone': stops('a strike on string 5'),
    'where the thumb has the next slot': stops('a strike on string 3'),
    'where a pull-off has the next slot': stops('a strike on string 3'),
    'in jig time before a strike': stops('a strike on string 3'),
    'where the measure ends after one slot': stops('a strike on string 3'),
    'on string 4': stops('a strike on string 4'),
  },
};

const names = Object.keys(PLACES) as readonly Place[];

describe.each(FAMILIES.map(({ id, name }) => [name, id] as const))('%s', (_, id) => {
  const refused = names.flatMap((place) => {
    const words = REFUSED[id][place];
    return words === undefined ? [] : [[place, words] as const];
  });

  test.each(refused)('is refused %s', (place, words) => {
    const [text, asked] = PLACES[place];
    expect(refusedFor(id, text, asked)).toEqual([words]);
  });

  test.each(names.filter((place) => REFUSED[id][place] === undefined).map((place) => [place]))(
    'is possible %s',
    (place) => {
      const [text, asked] = PLACES[place];
      const answers = refusedFor(id, text, asked);
      expect(answers.length).toBeGreaterThan(0);
      expect(answers.every((answer) => answer === 'offered')).toBe(true);
    },
  );
});
