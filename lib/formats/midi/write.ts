import type { Key } from '../../harmony';
import type { Melody } from '../../melody';
import type { Meter } from '../../rhythm';
import type { By, Stroke } from '../../tab/measure';
import type { Tune, Visit } from '../../tune';
import { playOrder } from '../../tune';
import type { Neck } from '../../tuning';
import type { Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import type { WrittenPass } from '../pass';
import { midiOf, PLAIN_PASS, strokesIn } from '../pass';
import { plainMelody } from '../plain-melody';
import { signatureOf } from '../spelling';
import { bigEndian, chunk, meta, metaText } from './bytes';
import { metersOf, offsetOf } from './meters';
import type { SoundingNote, TrackEvent } from './track';
import { noteEvents, trackBytes } from './track';

export interface MidiSource {
  readonly tune: Tune;
  /** What is played, one after the other; absent: the plain tune alone. */
  readonly passes?: readonly WrittenPass[];
  /** Absent: the tune's own. */
  readonly title?: string;
}

/** General MIDI's banjo, counted from 0. Source: General MIDI 1, program 106 counted from 1. */
export const BANJO = 105;
/** Name of the melody's track, by which reading finds it again. */
export const MELODY_TRACK = 'Melody';

const MELODY_CHANNEL = 0;
const BANJO_CHANNEL = 1;
const TEXT = { title: 0x03, marker: 0x06 } as const;
/** A stopped brush is a click. */
const CHOP_TICKS: Ticks = 60;
const MELODY_VELOCITY = 72;

/** How hard each sound is, of 127: fingers lead, the fretting hand is softer. Common practice, no source. */
const VELOCITY: Readonly<Record<By, number>> = {
  strike: 96,
  brush: 80,
  thumb: 84,
  hammer: 76,
  pull: 76,
  slide: 76,
  pluck: 70,
  chop: 48,
  rest: 0,
};

/** The minor kind of mode, as the key signature event tells it. */
function isMinor({ mode }: Key): boolean {
  return mode === 'minor' || mode === 'dorian' || mode === 'phrygian' || mode === 'locrian';
}

/** Where each pass starts. */
function startsOf(visits: readonly Visit[], passes: number, meter: Meter): readonly Ticks[] {
  const offset = offsetOf(visits, meter);
  const total = visits.reduce((sum, { measure }) => sum + measure.ticks, 0);
  return Array.from({ length: passes }, (_, pass) => offset + pass * total);
}

/** Tempo, key, meters, and the markers: the name of each pass and the letter of each time through a part. */
function conductor(
  { tune, title, passes = [PLAIN_PASS] }: MidiSource,
  visits: readonly Visit[],
  starts: readonly Ticks[],
): readonly TrackEvent[] {
  const { meter, key, tempo } = tune;
  const quarters = (tempo * meter.beat) / TICKS_PER_QUARTER;
  const clocks = (24 * meter.beat) / TICKS_PER_QUARTER;
  const signature = signatureOf(key);
  const head = [
    metaText(TEXT.title, title ?? tune.title),
    meta(0x51, bigEndian(Math.round(60_000_000 / quarters), 3)),
    meta(0x59, [signature & 0xff, isMinor(key) ? 1 : 0]),
  ];
  const all = starts.flatMap(() => visits);
  const meters = metersOf(all, meter).map(
    ({ at, beats, unit }): TrackEvent => ({
      at,
      order: 1,
      bytes: meta(0x58, [beats, Math.log2(unit), clocks, 8]),
    }),
  );
  const markers = starts.flatMap((start, pass) =>
    visits.flatMap(({ part, time, startTicks }, i): readonly TrackEvent[] => {
      const before = visits[i - 1];
      const names = [
        ...(i === 0 && passes.length > 1 ? [passes[pass]?.name ?? ''] : []),
        ...(before?.part === part && before.time === time ? [] : [part]),
      ];
      return names.map((name) => ({
        at: start + startTicks,
        order: 1,
        bytes: metaText(TEXT.marker, name),
      }));
    }),
  );
  return [...head.map((bytes): TrackEvent => ({ at: 0, order: 1, bytes })), ...meters, ...markers];
}

function melodyNotes(
  melody: Melody,
  visits: readonly Visit[],
  tune: Tune,
): readonly SoundingNote[] {
  const notes = new Map(
    tune.parts.flatMap(({ measures }, p) =>
      measures.map(({ id }, m) => [id, melody.parts[p]?.measures[m]?.notes ?? []] as const),
    ),
  );
  return visits.flatMap(({ measure, startTicks }) =>
    (notes.get(measure.id) ?? []).map(({ at, length, midi }) => ({
      at: startTicks + at,
      length,
      midi,
      velocity: MELODY_VELOCITY,
    })),
  );
}

/** A stroke's sounds; a pitch that two strings sound at once is one note. */
function strokeNotes({ at, length, by, notes }: Stroke, neck: Neck): readonly SoundingNote[] {
  const pitches = new Set(notes.map((note) => midiOf(neck, note)));
  const heard = by === 'chop' ? Math.min(length, CHOP_TICKS) : length;
  return [...pitches].map((midi) => ({ at, length: heard, midi, velocity: VELOCITY[by] }));
}

function track(
  name: string,
  channel: number,
  notes: readonly SoundingNote[],
  end: Ticks,
): readonly number[] {
  const head: readonly TrackEvent[] = [
    { at: 0, order: 1, bytes: metaText(TEXT.title, name) },
    { at: 0, order: 1, bytes: [0xc0 | channel, BANJO] },
  ];
  return trackBytes([...head, ...noteEvents(notes, channel)], end);
}

function shifted(notes: readonly SoundingNote[], by: Ticks): readonly SoundingNote[] {
  return notes.map((note) => ({ ...note, at: note.at + by }));
}

/**
 * The tune as a Standard MIDI File, format 1, 480 ticks a quarter, sounding pitches: a track with tempo, meters, key and markers, one with
 * the melody in every pass, and one for each pass with all that is played in it. Repeats are played out.
 * Source: Standard MIDI Files 1.0.
 */
export function toMidi(source: MidiSource): Uint8Array {
  const { tune, passes = [PLAIN_PASS] } = source;
  const visits = playOrder(tune);
  const starts = startsOf(visits, passes.length, tune.meter);
  const total = visits.reduce((sum, { measure }) => sum + measure.ticks, 0);
  const end = (starts[0] ?? 0) + passes.length * total;
  const melody = melodyNotes(plainMelody(tune), visits, tune);
  const tracks = [
    trackBytes(conductor(source, visits, starts), end),
    track(
      MELODY_TRACK,
      MELODY_CHANNEL,
      starts.flatMap((start) => shifted(melody, start)),
      end,
    ),
    ...passes.map((pass, p) => {
      const notes = visits.flatMap(({ measure, startTicks }) =>
        shifted(
          strokesIn(pass, measure).flatMap((stroke) => strokeNotes(stroke, tune.neck)),
          (starts[p] ?? 0) + startTicks,
        ),
      );
      return track(pass.name, BANJO_CHANNEL, notes, end);
    }),
  ];
  const division = bigEndian(TICKS_PER_QUARTER, 2);
  const header = chunk('MThd', [0, 1, ...bigEndian(tracks.length, 2), ...division]);
  return Uint8Array.from([header, ...tracks].flat());
}
