import type { MeterName } from '../../lib/rhythm';
import { meterNamed } from '../../lib/rhythm';
import type { By, Measure, Note, Stroke } from '../../lib/tab/measure';
import type { StringNumber, Ticks } from '../../lib/units';
import { isStringNumber } from '../../lib/units';

/**
 * The one-line notation for a measure, for tests only. Tokens stand apart by spaces, one a slot; `|` may stand between
 * bum-ditties and means nothing.
 *
 * - `s3.2` a strike on string 3, fret 2. The letter is who sounds it: `s` strike, `b` brush, `t` thumb, `h` hammer,
 *   `p` pull, `l` slide (where it arrives), `k` pluck, `x` chop, `r` rest.
 * - `b1.0+2.1` several strings. Without a dot the digits are open strings: `t5`, `s3`, `b123`, `x1234`.
 * - `.` the stroke before it lasts one slot longer.
 * - `h3.2~160` lasts 160 ticks instead of one slot. `s1@480` starts at tick 480 instead of where the one before ends.
 *
 * `bar('4/4', 's3 . b123 t5 | s2.1 h2.3 b123 t5')` is a whole measure.
 */
const LETTERS: Readonly<Record<string, By>> = {
  s: 'strike',
  b: 'brush',
  t: 'thumb',
  h: 'hammer',
  p: 'pull',
  l: 'slide',
  k: 'pluck',
  x: 'chop',
  r: 'rest',
};
const TOKEN = /^([sbthplkxr])([0-9.+]*)(?:~(\d+))?(?:@(\d+))?$/;

function stringNumber(digit: string, token: string): StringNumber {
  const value = Number(digit);
  if (!isStringNumber(value)) throw new RangeError(`no string ${digit} in "${token}"`);
  return value;
}

function notesOf(text: string, token: string): readonly Note[] {
  if (text === '') return [];
  return text
    .split('+')
    .flatMap((piece): readonly Note[] => {
      const [strings = '', fret] = piece.split('.');
      if (fret === undefined)
        return [...strings].map((digit) => ({ string: stringNumber(digit, token), fret: 0 }));
      if (!/^\d+$/.test(fret)) throw new RangeError(`no fret in "${token}"`);
      return [{ string: stringNumber(strings, token), fret: Number(fret) }];
    })
    .sort((a, b) => a.string - b.string);
}

/**
 * The strokes that a line of the notation spells.
 * @throws RangeError at a token that cannot be read
 */
export function strokesOf(meter: MeterName, text: string): readonly Stroke[] {
  const { slot } = meterNamed(meter);
  const strokes: Stroke[] = [];
  for (const token of text.split(/\s+/).filter((word) => word !== '' && word !== '|')) {
    const last = strokes.at(-1);
    if (token === '.') {
      if (!last) throw new RangeError('a "." needs a stroke before it');
      strokes[strokes.length - 1] = { ...last, length: last.length + slot };
      continue;
    }
    const [, letter = '', notes = '', length, at] = TOKEN.exec(token) ?? [];
    const by = LETTERS[letter];
    if (by === undefined) throw new RangeError(`cannot read "${token}"`);
    if ((by === 'rest') !== (notes === ''))
      throw new RangeError(`a rest has no notes and all else has some: "${token}"`);
    strokes.push({
      at: at === undefined ? (last ? last.at + last.length : 0) : Number(at),
      length: length === undefined ? slot : Number(length),
      by,
      notes: notesOf(notes, token),
    });
  }
  return strokes;
}

/**
 * The measure that a line of the notation spells. It is the meter's length, or from `startsAt` (a pickup) to the bar line,
 * or `ticks` long where given (the measure that a pickup completes), whatever its strokes add up to.
 */
export function bar(
  meter: MeterName,
  text: string,
  { startsAt = 0, ticks }: { readonly startsAt?: Ticks; readonly ticks?: Ticks } = {},
): Measure {
  const known = meterNamed(meter);
  return {
    meter: known,
    startsAt,
    ticks: ticks ?? known.measure - startsAt,
    strokes: strokesOf(meter, text),
  };
}

function tokenOf({ by, notes }: Stroke): string {
  const letter = Object.keys(LETTERS).find((key) => LETTERS[key] === by) ?? '';
  if (notes.every(({ fret }) => fret === 0))
    return letter + notes.map(({ string }) => string).join('');
  return letter + notes.map(({ string, fret }) => `${string}.${fret}`).join('+');
}

/** The measure's strokes in the notation, the inverse of `strokesOf`, with `|` between bum-ditties. */
export function textOf(measure: Pick<Measure, 'meter' | 'startsAt' | 'strokes'>): string {
  const { meter, startsAt, strokes } = measure;
  const firsts = meter.groups.map((_, i) =>
    meter.groups.slice(0, i).reduce((sum, slots) => sum + slots * meter.slot, 0),
  );
  const words: string[] = [];
  const word = (text: string, at: Ticks) => {
    if (words.length > 0 && firsts.includes(startsAt + at)) words.push('|');
    words.push(text);
  };
  let reached: Ticks = 0;
  for (const stroke of strokes) {
    const slots = stroke.length / meter.slot;
    const whole = Number.isInteger(slots);
    const at = stroke.at === reached ? '' : `@${stroke.at}`;
    word(`${tokenOf(stroke)}${whole ? '' : `~${stroke.length}`}${at}`, stroke.at);
    for (let i = 1; whole && i < slots; i++) word('.', stroke.at + i * meter.slot);
    reached = stroke.at + stroke.length;
  }
  return words.join(' ');
}
