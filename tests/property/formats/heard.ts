import type { WrittenPass } from '../../../lib/formats/pass';
import { midiOf, strokesIn } from '../../../lib/formats/pass';
import type { Melody, MelodyMeasure } from '../../../lib/melody';
import type { Tune } from '../../../lib/tune';
import { playOrder } from '../../../lib/tune';

/** A sound: start and length in ticks, MIDI number. */
export type Sounded = readonly [start: number, length: number, midi: number];

function inOrder(sounds: readonly Sounded[]): readonly Sounded[] {
  return sounds.toSorted((a, b) => a[0] - b[0] || a[2] - b[2] || a[1] - b[1]);
}

/** What the strokes of passes sound, repeats played out, by start, then pitch. */
export function heardInPasses(tune: Tune, passes: readonly WrittenPass[]): readonly Sounded[] {
  const heard: Sounded[] = [];
  let start = 0;
  for (const pass of passes)
    for (const { measure } of playOrder(tune)) {
      for (const { at, length, notes } of strokesIn(pass, measure))
        for (const note of notes) heard.push([start + at, length, midiOf(tune.neck, note)]);
      start += measure.ticks;
    }
  return inOrder(heard);
}

/** The melody's measures in playing order, repeats and endings played out. */
export function playedOut({ parts, form }: Melody): readonly MelodyMeasure[] {
  const times = new Map<string, number>();
  return form.flatMap((letter) => {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    const measures = parts.find((part) => part.letter === letter)?.measures ?? [];
    return measures.filter(({ endings }) => endings === undefined || endings.includes(time));
  });
}

/** What a melody sounds, repeats played out; a tied note is part of the one before. */
export function heardInMelody(melody: Melody): readonly Sounded[] {
  const heard: Sounded[] = [];
  let start = 0;
  for (const { notes, ticks } of playedOut(melody)) {
    for (const { at, length, midi, tied } of notes) {
      const last = heard.at(-1);
      if (tied && last) heard.splice(-1, 1, [last[0], last[1] + length, midi]);
      else heard.push([start + at, length, midi]);
    }
    start += ticks;
  }
  return heard;
}
