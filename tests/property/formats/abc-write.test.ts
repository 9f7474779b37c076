import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readAbc } from '../../../lib/formats/abc/read';
import { toAbc } from '../../../lib/formats/abc/write';
import { plainMelody } from '../../../lib/formats/plain-melody';
import type { Melody } from '../../../lib/melody';
import { heardByAbcjs } from '../../reference/formats/abcjs';
import { heardInMelody } from './heard';
import { anyTune } from './tunes';

/** What ABC holds of a melody: spelling of the key in seven signs, chords that are chords. */
function held(melody: Melody) {
  return melody.parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map(({ chord, ...measure }) =>
      chord === undefined || chord === 'N.C.' ? measure : { chord, ...measure },
    ),
  }));
}

/** Tunes in which somebody plays the melody somewhere. */
const tunes = anyTune.filter((tune) => heardInMelody(plainMelody(tune)).length > 0);

test('our reader reads back the same parts, form, measures, notes, chords and endings', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const text = toAbc(tune);
      const read = readAbc(text);
      if (!read.ok)
        throw new Error(`${read.problems.map(({ words }) => words).join(' ')}\n${text}`);
      const { melody } = read.value;
      expect(melody.form).toEqual(tune.form);
      expect(held(melody)).toEqual(held(plainMelody(tune)));
      expect(melody.meter).toEqual(tune.meter);
      expect(melody.tempo).toBeCloseTo(tune.tempo, 2);
      expect(melody.key.mode).toBe(tune.key.mode);
    }),
    { seed: 1, numRuns: 400 },
  );
});

test('abcjs hears the same notes', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      expect(heardByAbcjs(toAbc(tune))).toEqual(heardInMelody(plainMelody(tune)));
    }),
    { seed: 2, numRuns: 150 },
  );
});
