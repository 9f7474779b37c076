import type { Melody, MelodyMeasure, MelodyNote } from '../melody';
import { melodyMarks, topNote } from '../melody-marks';
import type { PlainMeasure, Tune } from '../tune';
import { measureOf } from '../tune';
import { midiOf, PLAIN_PASS, strokesIn } from './pass';

/** The melody in a plain measure: each marked note until the next one, a rest, a stopped brush, or the end of the measure. */
function notesOf(tune: Tune, plain: PlainMeasure): readonly MelodyNote[] {
  const strokes = strokesIn(PLAIN_PASS, plain);
  const marks =
    plain.melody.length > 0 ? plain.melody : melodyMarks(measureOf(tune.meter, plain, strokes));
  const notes: MelodyNote[] = [];
  let sounding: { readonly at: number; readonly midi: number } | undefined;
  const end = (at: number) => {
    if (sounding) notes.push({ ...sounding, length: at - sounding.at });
    sounding = undefined;
  };
  for (const stroke of strokes) {
    const note = marks.includes(stroke.at) ? topNote(stroke) : undefined;
    if (note || stroke.by === 'rest' || stroke.by === 'chop') end(stroke.at);
    if (note) sounding = { at: stroke.at, midi: midiOf(tune.neck, note) };
  }
  end(plain.ticks);
  return notes;
}

function measureFrom(tune: Tune, plain: PlainMeasure): MelodyMeasure {
  const { startsAt, ticks, chord, chords, endings } = plain;
  return {
    startsAt,
    ticks,
    notes: notesOf(tune, plain),
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords }),
    ...(endings === undefined ? {} : { endings }),
  };
}

/**
 * The tune as a line of notes at sounding pitch: its melody without brushes, drone and strings. What `arrange` moved stays where it was
 * moved to.
 */
export function plainMelody(tune: Tune): Melody {
  const { title, meter, key, tempo, form } = tune;
  const parts = tune.parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map((measure) => measureFrom(tune, measure)),
  }));
  return { title, meter, key, tempo, parts, form };
}
