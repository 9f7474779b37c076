import type { Key } from '../harmony';
import { scaleOf } from '../harmony';
import { pitchClass } from '../pitch';
import type { Note } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret, midiAt } from '../tuning';
import type { StringNumber } from '../units';
import { chordTones } from './chord';

/** Runs of neighbouring strings that a brush crosses, the usual one first. Source: common practice, no source. */
const RUNS: readonly (readonly StringNumber[])[] = [
  [1, 2, 3],
  [1, 2],
  [2, 3],
  [2, 3, 4],
  [3, 4],
];
/** Highest fret at which a string is stopped for a brush, and how far from the melody's finger. Common practice, no source. */
const MAX_BRUSH_FRET = 4;
const BRUSH_REACH = 3;

/** What a string would sound in a brush, and its price: open chord tones are free. */
function stringIn(
  neck: Neck,
  string: StringNumber,
  ringing: Note | undefined,
  fits: ReadonlySet<number>,
  mayStop: boolean,
): { readonly note: Note; readonly price: number } | undefined {
  const fitting = (fret: number) =>
    hasFret(neck, string, fret) && fits.has(pitchClass(midiAt(neck, string, fret)));
  if (ringing?.string === string) return { note: ringing, price: fitting(ringing.fret) ? 0 : 1 };
  if (fitting(0)) return { note: { string, fret: 0 }, price: 0 };
  for (let fret = 1; mayStop && fret <= MAX_BRUSH_FRET; fret++) {
    const inReach = !ringing || ringing.fret === 0 || Math.abs(ringing.fret - fret) <= BRUSH_REACH;
    if (inReach && fitting(fret)) return { note: { string, fret }, price: 3 + fret };
  }
  return undefined;
}

/**
 * The strings of a brush: two or three neighbours that sound the chord, open where they can and else stopped low; the
 * melody's note stays held on its own string. Without a chord, open strings of the key's scale. Undefined where no two
 * neighbours fit.
 * @param ringing the melody's note that sounds, if one does
 * @param below   only strings with a smaller number than this, so that the thumb can follow on it
 */
export function brushOver(
  neck: Neck,
  key: Key,
  chord: string | undefined,
  ringing: Note | undefined,
  below: StringNumber,
): readonly Note[] | undefined {
  const tones = chord === undefined ? undefined : chordTones(chord);
  const fits = new Set(tones ?? scaleOf(key));
  const strings = new Map(
    ([1, 2, 3, 4] as const).map((s) => [
      s as StringNumber,
      stringIn(neck, s, ringing, fits, tones !== undefined),
    ]),
  );
  const priced = RUNS.flatMap((run, index) => {
    const found = run.flatMap((string) => (string < below ? (strings.get(string) ?? []) : []));
    if (found.length < run.length) return [];
    return [
      {
        notes: found.map(({ note }) => note),
        price: index + found.reduce((sum, { price }) => sum + price, 0),
      },
    ];
  });
  return priced.sort((a, b) => a.price - b.price)[0]?.notes;
}
