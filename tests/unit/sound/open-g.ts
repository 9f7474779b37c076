import { hzFromMidi } from '../../../lib/pitch';
import type { Neck } from '../../../lib/tuning';
import { midiAt, neckOf, TUNINGS } from '../../../lib/tuning';
import type { Hz, StringNumber } from '../../../lib/units';

/** A neck in open G without a capo. */
export function openG(): Neck {
  const tuning = TUNINGS.find(({ id }) => id === 'gDGBD');
  if (!tuning) throw new RangeError('no open G');
  return neckOf(tuning);
}

/** What a string sounds at a fret, in open G unless told. */
export function hzOf(string: StringNumber, fret: number, neck = openG()): Hz {
  return hzFromMidi(midiAt(neck, string, fret));
}
