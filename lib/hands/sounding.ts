import type { Problem } from '../result';
import type { Measure, Note } from '../tab/measure';
import { isFretted } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret } from '../tuning';
import type { Fret, StringNumber } from '../units';
import { hasHold } from './hold';

export type FrettingProblem = Problem<
  | 'no-such-fret'
  | 'nothing-sounding'
  | 'hammer-not-higher'
  | 'pull-not-lower'
  | 'slide-from-open'
  | 'slide-nowhere'
  | 'one-string-only'
  | 'no-fingers',
  { readonly stroke: number }
>;

/** Is there a hand that stops all of these notes at once? */
function hasFingers(notes: readonly Note[]): boolean {
  const stopped = notes.filter(({ fret }) => fret > 0);
  const open = notes.filter(({ fret }) => fret === 0).map(({ string }) => string);
  return stopped.length < 2 || hasHold({ stopped, open });
}

/**
 * Can the fretting hand do what the strokes say? What sounds at once has fingers. A hammer goes to a higher fret (also on a string that was not struck:
 * "from nowhere", which needs a fretted note), a pull to a lower one on a string that is fretted and sounds, a slide
 * starts fretted and moves. One problem a stroke at most, in order.
 * Source: common practice, no source.
 */
export function checkFretting(measure: Measure, neck: Neck): readonly FrettingProblem[] {
  const held = new Map<StringNumber, Fret>();
  const problems: FrettingProblem[] = [];
  for (const [index, { by, notes }] of measure.strokes.entries()) {
    const add = (code: FrettingProblem['code'], words: string) =>
      problems.push({ code, where: { stroke: index }, words: `Stroke ${index + 1}: ${words}` });
    const [note] = notes;
    const missing = notes.find(({ string, fret }) => !hasFret(neck, string, fret));
    const before = note ? held.get(note.string) : undefined;
    if (missing) {
      add('no-such-fret', `string ${missing.string} has no fret ${missing.fret} on this neck.`);
    } else if (by !== 'chop' && !hasFingers(notes)) {
      add(
        'no-fingers',
        'no hand has fingers for these frets at once. Bring them together, or leave a string open.',
      );
    } else if (isFretted(by) && notes.length !== 1) {
      add('one-string-only', `a ${by} sounds one string.`);
    } else if (note && by === 'hammer' && note.fret <= (before ?? 0)) {
      add(
        'hammer-not-higher',
        `a hammer-on goes to a higher fret than ${before === undefined ? 'the open string' : `fret ${before}`}.`,
      );
    } else if (note && by === 'pull' && before === undefined) {
      add(
        'nothing-sounding',
        `string ${note.string} does not sound yet, so nothing can be pulled off.`,
      );
    } else if (note && by === 'pull' && note.fret >= (before ?? 0)) {
      add(
        'pull-not-lower',
        before === 0
          ? 'an open string has no lower note to pull off to.'
          : `a pull-off goes to a lower fret than ${before}.`,
      );
    } else if (note && by === 'slide' && before === undefined) {
      add('nothing-sounding', `string ${note.string} does not sound yet, so nothing can slide.`);
    } else if (note && by === 'slide' && (before === 0 || note.fret === 0)) {
      add('slide-from-open', 'an open string cannot slide. Start and end the slide on a fret.');
    } else if (note && by === 'slide' && note.fret === before) {
      add('slide-nowhere', `the slide starts where it ends, at fret ${before}.`);
    }
    for (const { string, fret } of notes) held.set(string, fret);
  }
  return problems;
}
