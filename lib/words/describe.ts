import type { StrokeMark } from '../tab/marks';
import { marksOf } from '../tab/marks';
import type { Measure } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Ticks } from '../units';
import { deedWords, letterWords } from './deeds';
import { groupOf, lengthWords, momentWords, slotWords, tripletWords, usualLength } from './lengths';

/** Is the string of this stroke the one string that the stroke before sounded? */
function isSameString(measure: Measure, marks: readonly StrokeMark[], index: number): boolean {
  return (
    index > 0 && marks[index]?.from === index - 1 && measure.strokes[index - 1]?.notes.length === 1
  );
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

/**
 * A measure as it would be told to a player: "Strike string 3 open, hammer on to fret 2; brush; thumb the drone." One sentence a
 * bum-ditty. Complete: within one meter, measures with different strokes read differently. A plain brush is strings 1 to 3
 * open; lengths are told where they are not the usual ones. With a neck, single notes bring their letters: "string 3 open (G)".
 */
export function describe(measure: Measure, neck?: Neck): string {
  const { strokes, meter, startsAt } = measure;
  if (strokes.length === 0) return 'Nothing is played here yet.';
  const marks = marksOf(measure);
  const sentences: string[][] = [];
  let reached: Ticks = 0;
  let tripletEnd = 0;
  let lastGroup: number | undefined;
  for (const [index, stroke] of strokes.entries()) {
    const same = isSameString(measure, marks, index);
    const triplet = index >= tripletEnd ? tripletWords(measure, index) : '';
    if (triplet !== '') tripletEnd = index + 3;
    const usual = index < tripletEnd ? stroke.length : usualLength(measure, index);
    const moment = stroke.at === reached ? '' : `on ${momentWords(measure, stroke.at)}: `;
    const deed = deedWords(stroke, marks[index], same);
    const words = `${moment}${triplet}${deed}${letterWords(stroke.notes, neck)}${lengthWords(stroke, usual, meter.slot)}`;
    const { number } = groupOf(measure, stroke.at);
    const told = sentences.at(-1);
    if (told && number === lastGroup) told.push(`${same ? ', ' : '; '}${words}`);
    else sentences.push([words]);
    lastGroup = number;
    reached = stroke.at + stroke.length;
  }
  const told = sentences.map((words) => sentence(words.join(''))).join(' ');
  return startsAt > 0 ? `Pickup from ${momentWords(measure, 0)}: ${told}` : told;
}

/**
 * One stroke as a sentence that stands alone, with its slot (counted from 1) and its length: "Slot 2: hammer on string 3 to fret
 * 2 for 1 slot."
 * @throws RangeError if the measure has no such stroke
 */
export function describeStroke(measure: Measure, index: number, neck?: Neck): string {
  const stroke = measure.strokes[index];
  if (!stroke) throw new RangeError(`no stroke ${index} among ${measure.strokes.length}`);
  const deed = deedWords(stroke, marksOf(measure)[index], false);
  const slots = slotWords(stroke.length, measure.meter.slot);
  return sentence(
    `${momentWords(measure, stroke.at)}: ${deed}${letterWords(stroke.notes, neck)} for ${slots}`,
  );
}

/** How the banjo is set up: "open G, gDGBD, capo at 2". The drone is told where it is not raised with the capo. */
export function describeTuning({ tuning, capo, drone }: Neck): string {
  const parts = [tuning.name, tuning.id, ...(capo === 0 ? [] : [`capo at ${capo}`])];
  if (drone !== Number(capo))
    parts.push(
      drone === 0 ? 'drone not raised' : `drone raised ${drone} semitone${drone === 1 ? '' : 's'}`,
    );
  return parts.join(', ');
}
