import type { Neck } from '../../tuning';
import { MAX_CAPO, neckOf, openMidi, TUNINGS } from '../../tuning';
import type { Midi, StringNumber } from '../../units';
import { midiFromSpelled } from '../spelling';
import type { ScoreNote } from './notes';
import type { XmlElement } from './xml';
import { childrenOf, numberAt, textAt } from './xml';

/** What a score says of a tab staff's strings. */
export interface StaffTuning {
  readonly lines?: number;
  /** Open strings without the capo, string 1 first; absent unless all five are there. */
  readonly open?: readonly Midi[];
  readonly capo?: number;
}

/** Lines are numbered from the bottom, strings from the top. Source: MusicXML 4.0, staff-tuning. */
export function staffTuningIn(details: XmlElement): StaffTuning {
  const lines = numberAt(details, 'staff-lines');
  const capo = numberAt(details, 'capo');
  const tunings = new Map(
    childrenOf(details, 'staff-tuning').flatMap((tuning): readonly (readonly [number, Midi])[] => {
      const line = Number(tuning.attributes.get('line'));
      const letter = textAt(tuning, 'tuning-step') ?? '';
      const octave = numberAt(tuning, 'tuning-octave');
      if (!/^[A-G]$/.test(letter) || octave === undefined) return [];
      const alter = numberAt(tuning, 'tuning-alter') ?? 0;
      return [[6 - line, midiFromSpelled({ letter, alter, octave })]];
    }),
  );
  const open = [1, 2, 3, 4, 5].flatMap((string) => tunings.get(string) ?? []);
  return {
    ...(lines === undefined ? {} : { lines }),
    ...(open.length === 5 && tunings.size === 5 ? { open } : {}),
    ...(capo === undefined ? {} : { capo }),
  };
}

/** Every neck that a board knows, those with less capo first. */
const NECKS: readonly Neck[] = Array.from({ length: MAX_CAPO + 1 }, (_, capo) =>
  TUNINGS.map((tuning) => neckOf(tuning, capo)),
).flat();

/** The neck whose open strings these are, written with a capo or with the capo counted in. */
function neckFrom(open: readonly Midi[], capo: number): Neck | undefined {
  for (let counted = 0; counted + capo <= MAX_CAPO; counted++) {
    const tuning = TUNINGS.find((known) =>
      ([1, 2, 3, 4] as const).every((s) => known.open[s - 1] === (open[s - 1] ?? 0) - counted),
    );
    const drone = (open[4] ?? 0) + capo - (tuning?.open[4] ?? 0);
    if (tuning && drone >= 0 && drone <= 12) return neckOf(tuning, counted + capo, drone);
  }
  return undefined;
}

/** How many notes sound what string and fret say on this neck. */
export function agreeing(neck: Neck, notes: readonly ScoreNote[]): number {
  return notes.filter(({ midi, string, fret }) => {
    if (midi === undefined || fret === undefined || string === undefined) return false;
    const open = openMidi(neck, string as StringNumber);
    return (
      midi === open + fret ||
      (string === 5 && fret > 0 && midi === open + fret - 5 - neck.drone + neck.capo)
    );
  }).length;
}

/**
 * The neck of a tab staff: as its strings say, or where they are not given the one on which most notes sound what they say; undefined if
 * it is no tuning that the board knows.
 */
export function neckOfStaff(tuning: StaffTuning, notes: readonly ScoreNote[]): Neck | undefined {
  const capo = tuning.capo ?? 0;
  if (!Number.isInteger(capo) || capo < 0 || capo > MAX_CAPO) return undefined;
  if (tuning.open) return neckFrom(tuning.open, capo);
  let best: { readonly neck: Neck; readonly count: number } | undefined;
  for (const neck of NECKS.filter((one) => tuning.capo === undefined || one.capo === capo)) {
    const count = agreeing(neck, notes);
    if (!best || count > best.count) best = { neck, count };
  }
  return best && best.count * 2 > notes.length ? best.neck : undefined;
}
