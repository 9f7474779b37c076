import { describe, expect, test } from 'vitest';
import { renderSound } from '../../../lib/sound/render';
import { scoreOf } from '../../../lib/sound/score';
import type { Neck } from '../../../lib/tuning';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import type { StringNumber } from '../../../lib/units';
import { bar } from '../../kit/tab';
import { centsBetween, pitchAt } from '../../unit/sound/measuring';

// Published tunings (see tests/reference/tuning.test.ts), MIDI of strings 5 4 3 2 1.
const PUBLISHED: Readonly<Record<string, readonly number[]>> = {
  gDGBD: [67, 50, 55, 59, 62],
  gCGCD: [67, 48, 55, 60, 62],
  aDADE: [69, 50, 57, 62, 64],
  gDGCD: [67, 50, 55, 60, 62],
  gCGBD: [67, 48, 55, 59, 62],
  'f#DF#AD': [66, 50, 54, 57, 62],
};

/** The farthest that any moment of the sustain is off, in cents, by an independent detector. */
function offBy(neck: Neck, string: StringNumber, fret: number, hz: number, rate: number): number {
  const measure = bar('4/4', `s${string}.${fret} . . . . . . .`);
  const { events } = scoreOf({ measures: [measure], neck, tempo: 60 });
  const sound = renderSound(events, { sampleRate: rate, channels: 1 });
  let worst = 0;
  for (const at of [0.06, 0.15, 0.3, 0.5]) {
    const heard = pitchAt(sound, at, 4096, rate);
    expect(heard.clarity).toBeGreaterThan(0.95);
    worst = Math.max(worst, Math.abs(centsBetween(hz, heard.hz)));
  }
  return worst;
}

// 12-tone equal temperament, A4 = 440 Hz (ISO 16:1975). Heard by the McLeod pitch method of the package `pitchy`.
describe('every string and fret sounds its pitch within 2 cents over the sustain', () => {
  test('all six tunings are here', () =>
    expect(TUNINGS.map(({ id }) => id)).toEqual(expect.arrayContaining(Object.keys(PUBLISHED))));

  describe.each(TUNINGS)('$id', (tuning) => {
    const neck = neckOf(tuning);
    test.each([5, 4, 3, 2, 1] as const)('string %i', (string) => {
      const open = PUBLISHED[tuning.id]?.[5 - string] ?? 0;
      const frets = Array.from({ length: 13 }, (_, i) => (string === 5 && i > 0 ? i + 5 : i));
      for (const fret of frets) {
        const midi = open + (string === 5 && fret > 0 ? fret - 5 : fret);
        const off = offBy(neck, string, fret, 440 * 2 ** ((midi - 69) / 12), 48_000);
        expect(off, `fret ${fret}`).toBeLessThan(2);
      }
    });
  });

  test.each([22_050, 44_100, 96_000])('at %i samples a second too', (rate) => {
    const [tuning] = TUNINGS;
    if (!tuning) throw new RangeError('no tuning');
    const neck = neckOf(tuning);
    for (const [string, fret, midi] of [
      [4, 0, 50],
      [3, 2, 57],
      [1, 12, 74],
      [5, 0, 67],
    ] as const)
      expect(offBy(neck, string, fret, 440 * 2 ** ((midi - 69) / 12), rate)).toBeLessThan(2);
  });
});
