import { FAMILIES, familyById } from '../embellish/all';
import { dropThumbOnto, innerBelow } from '../embellish/drop-thumb';
import type { Family, FamilyId, Offer } from '../embellish/family';
import type { Chord } from '../harmony';
import { pitchClass } from '../pitch';
import type { Measure, Note, Stroke } from '../tab/measure';
import { sameStrokes } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret, midiAt } from '../tuning';
import type { Ticks } from '../units';

/** One embellishment as what it changes, so that several can be put together. */
export interface Patch {
  readonly family: FamilyId;
  /** Index of the stroke that was embellished. */
  readonly stroke: number;
  /** The strokes of the measure that it replaces: `count` from `from` on. */
  readonly from: number;
  readonly count: number;
  readonly fresh: readonly Stroke[];
  readonly words: string;
  /** Place among the family's offers for that stroke, 0 is the usual one. */
  readonly rank: number;
}

function isSame(a: Stroke | undefined, b: Stroke | undefined): boolean {
  return a !== undefined && b !== undefined && sameStrokes([a], [b]);
}

/** What the offer changes, between the strokes that stay at both ends. */
function changed(plain: readonly Stroke[], varied: readonly Stroke[]) {
  let from = 0;
  while (isSame(plain[from], varied[from])) from += 1;
  let kept = 0;
  const most = Math.min(plain.length, varied.length) - from;
  while (kept < most && isSame(plain.at(-1 - kept), varied.at(-1 - kept))) kept += 1;
  return {
    from,
    count: plain.length - kept - from,
    fresh: varied.slice(from, varied.length - kept),
  };
}

/** Drops onto open strings and onto the chord's stopped notes that are tried, of each so many. */
const DROPS = 2;
/**
 * Frets from the struck note that lie under the same hand, and the highest of a hand at the nut.
 * Source: four frets, common practice.
 */
const HAND = 3;
const NUT_HAND = 4;

/** Stopped notes of the chord for the thumb under the hand that holds the struck one, the next string first. */
function chordNotes(neck: Neck, chord: Chord, struck: Note): readonly Note[] {
  const low = Math.max(1, struck.fret - HAND);
  const high = struck.fret === 0 ? NUT_HAND : struck.fret + HAND;
  return innerBelow(struck).flatMap((string) => {
    const notes: Note[] = [];
    for (let fret = low; fret <= high; fret++)
      if (
        hasFret(neck, string, fret) &&
        chord.tones.includes(pitchClass(midiAt(neck, string, fret)))
      )
        notes.push({ string, fret });
    return notes;
  });
}

/**
 * What a family offers for a stroke; drop thumbing also onto stopped notes of the chord, which the family alone cannot
 * know.
 */
function offersOf(
  family: Family,
  measure: Measure,
  stroke: number,
  neck: Neck,
  chordAt: (at: Ticks) => Chord,
) {
  const { offers } = family.apply(measure, stroke, neck);
  if (family.id !== 'drop-thumb' || offers.length === 0) return offers;
  const chord = chordAt(measure.strokes[stroke]?.at ?? 0);
  const onto = dropThumbOnto(measure, stroke, neck, (struck) => chordNotes(neck, chord, struck));
  return [...offers.slice(0, DROPS), ...onto.offers.slice(0, DROPS)];
}

/**
 * Every embellishment of one stroke that the families offer, at most `most` of each family and stroke.
 * @param only just this family
 */
export function patchesOf(
  measure: Measure,
  neck: Neck,
  chordAt: (at: Ticks) => Chord,
  only: FamilyId | undefined,
  most: number,
): readonly Patch[] {
  const families = only === undefined ? FAMILIES : [familyById(only)];
  return measure.strokes.flatMap((_, stroke) =>
    families.flatMap((family) =>
      offersOf(family, measure, stroke, neck, chordAt)
        .slice(0, most)
        .map(
          ({ strokes, words }: Offer, rank): Patch => ({
            family: family.id,
            stroke,
            ...changed(measure.strokes, strokes),
            words,
            rank,
          }),
        ),
    ),
  );
}

/** Does the second patch begin after all that the first one changes? */
export function follows(first: Patch, second: Patch): boolean {
  return second.from >= first.from + first.count;
}

/** The measure's strokes with patches that follow one another. */
export function patched(measure: Measure, patches: readonly Patch[]): readonly Stroke[] {
  const pieces: Stroke[] = [];
  let next = 0;
  for (const { from, count, fresh } of patches) {
    pieces.push(...measure.strokes.slice(next, from), ...fresh);
    next = from + count;
  }
  return [...pieces, ...measure.strokes.slice(next)];
}
