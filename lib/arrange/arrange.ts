import type { Melody, MelodyMeasure } from '../melody';
import type { Problem, Result } from '../result';
import { fail, ok } from '../result';
import type { Meter } from '../rhythm';
import type { PlainMeasure, Tune } from '../tune';
import { chordFields, chordsOf } from '../tune';
import type { Neck } from '../tuning';
import type { Bpm, MeasureId, Semitones, Ticks } from '../units';
import { chordMovedBy } from './chord';
import { filledMeasure } from './fill';
import type { Moment } from './moments';
import { momentsOf } from './moments';
import type { Setting } from './necks';
import { bestGuess, missingFrom, OCTAVES, settingAt, transposedKey, usualNecks } from './necks';
import type { Played } from './path';
import { rangeWords, remarksOn, settingWords } from './say';

export type ArrangeProblem = Problem<
  'no-notes' | 'not-on-this-neck',
  Readonly<Record<string, never>>
>;

export interface ArrangeOptions {
  /** Absent: the neck that suits the melody best. */
  readonly neck?: Neck;
  /** Absent: the octave that suits the neck best, in the key as written. */
  readonly transpose?: Semitones;
}

export interface Arrangement {
  readonly tune: Tune;
  /** Semitones from the melody as written to what sounds. */
  readonly transposed: Semitones;
  /** Melody notes that are heard at their pitch (moved ones included), of all that are struck, each measure counted once. */
  readonly kept: number;
  readonly of: number;
  /** Notes of those kept that are heard a slot or less from their place. */
  readonly moved: number;
  /** What was moved or left out and why, in words. */
  readonly remarks: readonly string[];
}

/** A neck and a transposition for a melody, with what speaks for it. */
export interface Alternative {
  readonly neck: Neck;
  readonly transpose: Semitones;
  readonly kept: number;
  readonly of: number;
  /** Mean price of a note: 0 is all open, 1 low frets, more means shifts and losses. For comparing, no unit. */
  readonly effort: number;
  readonly words: string;
}

/** Bum-ditties a minute where a tune names no tempo: where workshops start. Source: common practice, no source. */
const STARTING_BUM_DITTIES = 50;
const OTHER_KEYS: readonly Semitones[] = [-1, 1, -2, 2, -3, 3, -4, 4, -5, 5, 6];
const MAX_OTHER_KEYS = 2;

function measureFrom(
  melody: Melody,
  setting: Setting,
  measure: MelodyMeasure,
  index: number,
  chord: string | undefined,
): PlainMeasure {
  const { neck, transpose, path } = setting;
  const key = transposedKey(melody.key, transpose);
  const played = path.steps.filter((step): step is Played => step?.moment.measure === index);
  const chords = chordFields(
    chordsOf(measure).map(({ at, symbol }) => ({ at, symbol: chordMovedBy(symbol, transpose) })),
  );
  const before =
    chords.chord === undefined && chord !== undefined ? [{ at: 0, symbol: chord }] : [];
  const chordAt = (at: Ticks) =>
    [...before, ...chordsOf(chords)].findLast((change) => change.at <= at)?.symbol;
  const strokes = filledMeasure({ meter: melody.meter, key, neck }, measure, chordAt, played);
  return {
    id: `m${index + 1}` as MeasureId,
    startsAt: measure.startsAt,
    ticks: measure.ticks,
    strokes,
    melody: played.map(({ at }) => at),
    ...chords,
    ...(measure.endings === undefined ? {} : { endings: measure.endings }),
  };
}

/** The starting tempo in the meter's own beats, so that the hand moves as fast in all meters. */
export function startingTempo({ slot, beat }: Meter): Bpm {
  return Math.round((STARTING_BUM_DITTIES * 4 * slot) / beat);
}

function partsFrom(melody: Melody, setting: Setting): Tune['parts'] {
  let chord: string | undefined;
  let index = 0;
  return melody.parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map((measure) => {
      const before = chord;
      const last = chordsOf(measure).at(-1)?.symbol;
      if (last !== undefined) chord = chordMovedBy(last, setting.transpose);
      return measureFrom(melody, setting, measure, index++, before);
    }),
  }));
}

function arrangementFrom(melody: Melody, setting: Setting): Arrangement {
  const { neck, transpose, path } = setting;
  const kept = path.steps.filter((step) => step !== undefined);
  const tune: Tune = {
    title: melody.title,
    neck,
    meter: melody.meter,
    key: transposedKey(melody.key, transpose),
    tempo: melody.tempo ?? startingTempo(melody.meter),
    parts: partsFrom(melody, setting),
    form: melody.form,
  };
  return {
    tune,
    transposed: transpose,
    kept: kept.length,
    of: path.steps.length,
    moved: kept.filter((step) => step.moved).length,
    remarks: remarksOn(melody, path),
  };
}

function byEffort(a: Setting, b: Setting): number {
  return a.effort - b.effort;
}

/** The usual necks on which the melody lies in its own key, the easiest first. */
function settingsInKey(melody: Melody, moments: readonly Moment[]): readonly Setting[] {
  return usualNecks()
    .flatMap((neck) => bestGuess(melody, moments, neck, OCTAVES) ?? [])
    .map((guess) => settingAt(melody, moments, guess))
    .sort(byEffort);
}

/** The likeliest other keys, up to a tritone away and in any octave, on the tunings of other keys without capo. */
function settingsInOtherKeys(melody: Melody, moments: readonly Moment[]): readonly Setting[] {
  const necks = usualNecks().filter(({ capo }) => capo === 0);
  return OTHER_KEYS.flatMap((shift) =>
    necks.flatMap(
      (neck) =>
        bestGuess(
          melody,
          moments,
          neck,
          OCTAVES.map((by) => by + shift),
        ) ?? [],
    ),
  )
    .sort((a, b) => a.guess - b.guess)
    .slice(0, MAX_OTHER_KEYS)
    .map((guess) => settingAt(melody, moments, guess))
    .sort(byEffort);
}

/**
 * Necks and transpositions for a melody, the easiest first: the six tunings open and with a capo at 2 in its own key, then
 * up to two other keys that lie easier. Takes some 100 ms for 32 measures.
 */
export function alternatives(melody: Melody): readonly Alternative[] {
  const moments = momentsOf(melody);
  if (moments.length === 0) return [];
  const own = settingsInKey(melody, moments);
  const others = settingsInOtherKeys(melody, moments);
  const easier = others.filter(
    ({ effort }) => effort < (own[0]?.effort ?? Number.POSITIVE_INFINITY),
  );
  return [...own, ...easier].map((setting) => ({
    neck: setting.neck,
    transpose: setting.transpose,
    kept: setting.path.steps.filter((step) => step !== undefined).length,
    of: setting.path.steps.length,
    effort: Math.round(setting.effort * 100) / 100,
    words: settingWords(melody, setting),
  }));
}

function settingFor(
  melody: Melody,
  moments: readonly Moment[],
  { neck, transpose }: ArrangeOptions,
): Setting | undefined {
  const transposes = transpose === undefined ? OCTAVES : [transpose];
  return (neck ? [neck] : usualNecks())
    .flatMap((one) => bestGuess(melody, moments, one, transposes) ?? [])
    .map((guess) => settingAt(melody, moments, guess))
    .sort(byEffort)[0];
}

function notOnThisNeck(
  melody: Melody,
  moments: readonly Moment[],
  { neck, transpose }: ArrangeOptions,
): ArrangeProblem {
  const necks = neck ? [neck] : usualNecks();
  const transposes = transpose === undefined ? OCTAVES : [transpose];
  const misses = necks.flatMap((one) => transposes.map((by) => missingFrom(one, moments, by)));
  const [least = []] = misses.sort((a, b) => a.length - b.length);
  const instead = settingsInKey(melody, moments)[0] ?? settingsInOtherKeys(melody, moments)[0];
  const words = rangeWords(least, moments.length, instead && settingWords(melody, instead));
  return { code: 'not-on-this-neck', where: {}, words };
}

/**
 * A melody as basic clawhammer tab: each note on a string and fret near the nut, the bum-ditty around it. Every measure
 * adds up and can be played; what could not be kept is counted and said.
 * On the way down notes are struck; on the way up the thumb plays them (the drone, or an inner string below the one just
 * struck) or the fretting hand hammers or pulls; else they are moved to a free neighbouring slot, or left out. Of a
 * bum-ditty with more notes than its slots and two more only the skeleton stays: the notes on slots.
 * Source: common practice, no source.
 */
export function arrange(
  melody: Melody,
  options: ArrangeOptions = {},
): Result<Arrangement, ArrangeProblem> {
  const moments = momentsOf(melody);
  if (moments.length === 0)
    return fail({
      code: 'no-notes',
      where: {},
      words: 'The melody has no notes, so there is nothing to arrange.',
    });
  const setting = settingFor(melody, moments, options);
  return setting
    ? ok(arrangementFrom(melody, setting))
    : fail(notOnThisNeck(melody, moments, options));
}
