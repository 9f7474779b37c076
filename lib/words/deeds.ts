import { pitchName } from '../pitch';
import type { StrokeMark } from '../tab/marks';
import type { Note, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret, midiAt } from '../tuning';
import type { StringNumber } from '../units';
import { assertNever } from '../units';

/** "1", "1 and 2", "1, 2 and 4". */
function listed(items: readonly string[]): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}

function fretWords(fret: number): string {
  return fret === 0 ? 'open' : `fret ${fret}`;
}

/** "strings 1 to 3" where they lie side by side, else each by its number; one string as "string 3". */
function stringWords(strings: readonly StringNumber[]): string {
  const [first = 1] = strings;
  const last = strings.at(-1) ?? first;
  if (strings.length === 1) return `string ${first}`;
  const sideBySide = strings.length > 2 && last - first === strings.length - 1;
  return `strings ${sideBySide ? `${first} to ${last}` : listed(strings.map(String))}`;
}

/** What is stopped on some strings: "open", "at fret 2", or fret by fret in the order of the strings. */
function stoppedWords(notes: readonly Note[]): string {
  const [first] = notes;
  if (!first) return '';
  if (notes.every(({ fret }) => fret === first.fret))
    return first.fret === 0 ? 'open' : `at fret ${first.fret}`;
  return `at ${listed(notes.map(({ fret }) => (fret === 0 ? 'open' : String(fret))))}`;
}

function placeWords(notes: readonly Note[]): string {
  return `${stringWords(notes.map(({ string }) => string))} ${stoppedWords(notes)}`;
}

/** The note's letter in brackets, where a neck is given that has it. */
export function letterWords([note, ...more]: readonly Note[], neck: Neck | undefined): string {
  if (!neck || !note || more.length > 0 || !hasFret(neck, note.string, note.fret)) return '';
  return ` (${pitchName(midiAt(neck, note.string, note.fret)).slice(0, -1)})`;
}

function brushWords(notes: readonly Note[]): string {
  const open = notes.every(({ string, fret }, i) => fret === 0 && string === i + 1);
  if (open && notes.length === 3) return 'brush';
  if (open && notes.length === 4) return 'brush all four';
  return `brush ${placeWords(notes)}`;
}

/** A stopped hand has no pitch, so open strings are only named. */
function chopWords(notes: readonly Note[]): string {
  const strings = stringWords(notes.map(({ string }) => string));
  const stopped = notes.every(({ fret }) => fret === 0) ? '' : ` ${stoppedWords(notes)}`;
  return `with a stopped hand brush ${strings}${stopped}`;
}

function thumbWords(notes: readonly Note[]): string {
  const [note, ...more] = notes;
  if (!note || more.length > 0) return `thumb ${placeWords(notes)}`;
  if (note.string !== 5) return `drop the thumb to ${placeWords(notes)}`;
  return note.fret === 0 ? 'thumb the drone' : `thumb the drone at fret ${note.fret}`;
}

/** A hammer, pull or slide; the string is left out where it is the one just heard. */
function joinedWords(
  { by, notes }: Stroke,
  words: { readonly alone: string; readonly before: string; readonly after: string },
  mark: StrokeMark | undefined,
  sameString: boolean,
): string {
  const [note, ...more] = notes;
  if (!note || more.length > 0) return `${by} ${placeWords(notes)}`;
  const to = `to ${fretWords(note.fret)}`;
  if (sameString) return `${words.alone} ${to}`;
  const nowhere = by === 'hammer' && mark?.from === undefined ? ' from nowhere' : '';
  return `${words.before} string ${note.string}${words.after} ${to}${nowhere}`;
}

/**
 * Who does what to which string, without its length: "strike string 3 open", "hammer on to fret 2".
 * @param sameString  the string of a hammer, pull or slide is the one just heard and need not be named
 */
export function deedWords(
  stroke: Stroke,
  mark: StrokeMark | undefined,
  sameString: boolean,
): string {
  const { by, notes } = stroke;
  switch (by) {
    case 'strike':
      return `strike ${placeWords(notes)}`;
    case 'brush':
      return brushWords(notes);
    case 'thumb':
      return thumbWords(notes);
    case 'hammer':
      return joinedWords(
        stroke,
        { alone: 'hammer on', before: 'hammer on', after: '' },
        mark,
        sameString,
      );
    case 'pull':
      return joinedWords(
        stroke,
        { alone: 'pull off', before: 'pull', after: ' off' },
        mark,
        sameString,
      );
    case 'slide':
      return joinedWords(stroke, { alone: 'slide', before: 'slide', after: '' }, mark, sameString);
    case 'pluck':
      return `with the fretting hand pluck ${placeWords(notes)}`;
    case 'chop':
      return chopWords(notes);
    case 'rest':
      return 'rest';
    default:
      return assertNever(by);
  }
}
