import type { Measure, Note, Stroke } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';

/**
 * What a clawhammer measure must be, told once more from the trade's rules and with none of the modules that judge: an
 * independent word on whether a measure of single notes and open brushes can be played. It only says yes or no.
 * Source: the hands' laws of the trade, common practice, no source; 22 frets and the drone's first at the fifth from references.
 */
const NECK_FRETS = 22;
const DRONE_NUT = 5;

function fretExists({ capo, drone }: Neck, { string, fret }: Note): boolean {
  if (fret === 0) return true;
  const onNeck = fret + capo;
  return fret > 0 && onNeck <= NECK_FRETS && (string < 5 || onNeck > DRONE_NUT + drone);
}

/** Down, up, or between two motions. */
function motion({ meter, startsAt }: Measure, { at }: Stroke): 'down' | 'up' | 'between' {
  const slot = (startsAt + at) / meter.slot;
  if (!Number.isInteger(slot)) return 'between';
  const pattern = meter.name === '6/8' ? ['down', 'down', 'up'] : ['down', 'up'];
  return pattern[slot % pattern.length] === 'up' ? 'up' : 'down';
}

function pickingIsLegal(measure: Measure, stroke: Stroke): boolean {
  const { by, notes } = stroke;
  const hand = motion(measure, stroke);
  switch (by) {
    case 'strike':
      return hand === 'down' && notes.length === 1;
    case 'brush':
    case 'chop':
      return hand === 'down' && notes.length > 1;
    case 'thumb':
      return hand === 'up' && notes.length === 1 && notes[0]?.string !== 1;
    default:
      return true;
  }
}

/** @param before what the string of the note was last stopped at, if it has sounded */
function frettingIsLegal({ by, notes }: Stroke, before: number | undefined): boolean {
  const [note] = notes;
  if (by === 'rest' || !note) return by === 'rest';
  const alone = notes.length === 1;
  switch (by) {
    case 'hammer':
      return alone && note.fret > (before ?? 0);
    case 'pull':
      return alone && before !== undefined && note.fret < before;
    case 'slide':
      return alone && before !== undefined && before > 0 && note.fret > 0 && note.fret !== before;
    case 'pluck':
      return alone;
    default:
      return true;
  }
}

/** Can it be played, as far as single notes and strings at once that no two fingers stop? */
export function isLegal(measure: Measure, neck: Neck): boolean {
  const { strokes, ticks } = measure;
  const last = new Map<number, number>();
  let reached = 0;
  for (const stroke of strokes) {
    const { at, length, notes } = stroke;
    const [note] = notes;
    const fills = at === reached && length > 0;
    const exists = notes.every((each) => fretExists(neck, each));
    if (!fills || !exists || !pickingIsLegal(measure, stroke)) return false;
    if (!frettingIsLegal(stroke, note && last.get(note.string))) return false;
    for (const { string, fret } of notes) last.set(string, fret);
    reached = at + length;
  }
  return strokes.length > 0 && reached === ticks;
}
