import type { Chord, Key } from './harmony';
import { inferChord, parseChord, scaleOf, toneClass } from './harmony';
import type { MelodyKept } from './likeness';
import { melodyKept, melodyLikeness } from './likeness';
import type { MelodyPoint } from './melody-marks';
import { melodyMarks, melodyOf } from './melody-marks';
import { pitchName } from './pitch';
import type { Measure } from './tab/measure';
import type { ChordChange } from './tune';
import type { Neck } from './tuning';
import type { Ticks } from './units';

/** The plain measure and its harmony, as far as they are known. */
export interface PlainContext {
  readonly neck: Neck;
  readonly key: Key;
  readonly plain: Measure;
  /** Absent or empty: found by rule. */
  readonly melody?: readonly Ticks[];
  /** Absent or unreadable: inferred from the melody. */
  readonly chord?: string;
  /** Chords that begin inside the measure. */
  readonly chords?: readonly ChordChange[];
}

/** How much of the tune a variation keeps, and what of the added notes stands outside of the harmony. */
export interface TuneKept extends MelodyKept {
  readonly verdict: 'yes' | 'warn' | 'no';
  readonly words: string;
  /** Indices of the strokes that sound outside of chord and scale without a step back in. */
  readonly strokes: readonly number[];
  /** 0 to 1, from `melodyLikeness`. */
  readonly likeness: number;
  readonly chord: Chord;
  /** Nobody wrote the chord: it is our guess. */
  readonly inferred: boolean;
}

/** Part of the melody that may be missing before it is another tune. Source: our estimate, common practice, no source. */
const MAY_MISS = 0.34;

/** The plain measure's melody by its marks, by rule where there are none. */
export function plainMelody({ plain, neck, melody }: PlainContext): readonly MelodyPoint[] {
  return melodyOf(plain, neck, melody && melody.length > 0 ? melody : melodyMarks(plain));
}

/** The chord as written if it can be read, else as the melody suggests. */
export function chordFor(
  { chord, key }: PlainContext,
  melody: readonly MelodyPoint[],
): { readonly chord: Chord; readonly inferred: boolean } {
  const written = chord === undefined ? undefined : parseChord(chord);
  if (written?.ok) return { chord: written.value, inferred: false };
  return inferChord(melody, key);
}

/** The chord that holds at each moment of the measure, as far as one can be read; the first as `chordFor` has it. */
export function harmonyOf(
  context: PlainContext,
  melody: readonly MelodyPoint[],
): (at: Ticks) => Chord {
  const first = chordFor(context, melody).chord;
  const changes = (context.chords ?? []).flatMap(({ at, symbol }) => {
    const chord = parseChord(symbol);
    return chord.ok ? [{ at, chord: chord.value }] : [];
  });
  return (at) => changes.findLast((change) => change.at <= at)?.chord ?? first;
}

/**
 * Strokes of the line that sound outside: in neither chord nor scale nor melody, and not led back by step by the next
 * beat.
 */
function outsideOf(
  varied: Measure,
  melody: readonly MelodyPoint[],
  { neck, key }: PlainContext,
  chordAt: (at: Ticks) => Chord,
): readonly number[] {
  const line = melodyOf(varied, neck);
  const known = new Set(melody.map(({ midi }) => midi));
  const { beat } = varied.meter;
  const scale = scaleOf(key);
  return line.flatMap(({ at, midi }, i) => {
    const next = line[i + 1];
    const nextBeat = (Math.floor((varied.startsAt + at) / beat) + 1) * beat - varied.startsAt;
    const soon = next && next.at <= nextBeat ? next.midi : undefined;
    if (known.has(midi) || toneClass(midi, scale, chordAt(at), soon) !== 'outside') return [];
    return [varied.strokes.findIndex((stroke) => stroke.at === at)];
  });
}

function noteName(midi: number, key: Key): string {
  return pitchName(midi, /b|^F/.test(key.tonic)).replace(/-?\d+$/, '');
}

function missingWords(missing: readonly MelodyPoint[], context: PlainContext): string {
  const { plain, key } = context;
  const names = missing.map(({ at, midi }) => {
    const slot = Math.floor((plain.startsAt + at) / plain.meter.slot) + 1;
    return `${noteName(midi, key)} (slot ${slot})`;
  });
  return `The melody's ${names.join(', ')} ${names.length === 1 ? 'is not heard in its bum-ditty' : 'are not heard in their bum-ditties'}.`;
}

/**
 * Is it still the tune? Every melody note in its own bum-ditty, and what is added in the chord or the scale or led back
 * into it by the next beat.
 * Source: trade's third rule of a good variation, common practice, no source.
 */
export function tuneKept(varied: Measure, context: PlainContext): TuneKept {
  const melody = plainMelody(context);
  const kept = melodyKept(melody, varied, context.neck);
  const { chord, inferred } = chordFor(context, melody);
  const chordAt = harmonyOf(context, melody);
  const strokes = outsideOf(varied, melody, context, chordAt);
  const likeness = melodyLikeness(melody, varied, context.neck, context.key);
  const share = kept.of === 0 ? 0 : kept.missing.length / kept.of;
  const verdict = share > MAY_MISS ? 'no' : share > 0 || strokes.length > 0 ? 'warn' : 'yes';
  const lost = kept.missing.length > 0 ? missingWords(kept.missing, context) : '';
  const nth = strokes.map((stroke) => stroke + 1).join(', ');
  const symbols = [...new Set(strokes.map((i) => chordAt(varied.strokes[i]?.at ?? 0).symbol))];
  const strange =
    strokes.length > 0
      ? `Stroke ${nth} sounds outside of ${symbols.join(' and ')} and the scale and does not lead back in.`
      : '';
  const words =
    verdict === 'yes'
      ? 'Every melody note is heard in its place, and what is added fits the harmony.'
      : [lost, strange].filter((sentence) => sentence !== '').join(' ');
  return { ...kept, verdict, words, strokes, likeness, chord, inferred };
}
