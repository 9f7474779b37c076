import type { Melody, MelodyMeasure } from './melody';
import { soundsOf } from './melody-edit';
import type { Measure, Stroke } from './tab/measure';
import type { Neck } from './tuning';
import { placesOf } from './tuning';
import type { Semitones } from './units';

/**
 * A measure of a melody as single notes on a neck, for hearing it as it is written, whatever of it the tab keeps: each note where it lies
 * lowest. A note that the neck does not have is a rest; one that is tied over rings on as a rest.
 */
function aloneMeasure(melody: Melody, measure: MelodyMeasure, neck: Neck, by: Semitones): Measure {
  const strokes = soundsOf(measure).map(({ at, length, midi, tied }): Stroke => {
    const place = midi === undefined || tied ? undefined : placesOf(neck, midi + by)[0];
    const { string = 1, fret = 0 } = place ?? {};
    return place
      ? { at, length, by: 'strike', notes: [{ string, fret }] }
      : { at, length, by: 'rest', notes: [] };
  });
  const { startsAt, ticks } = measure;
  return { meter: melody.meter, startsAt, ticks, strokes };
}

/** The measures of one part of a melody, to be heard alone. @param by semitones from the melody as written to what sounds */
export function melodyAlone(
  melody: Melody,
  part: number,
  neck: Neck,
  by: Semitones,
): readonly Measure[] {
  const measures = melody.parts[part]?.measures ?? [];
  return measures.map((measure) => aloneMeasure(melody, measure, neck, by));
}
