import type { Findings, TextPlace } from './problem';
import { leaveOut } from './problem';

/** A note's name as written: letter A to G, octave 4 from middle C up, and the sign before it if there is one. */
export interface WrittenPitch {
  readonly letter: string;
  readonly octave: number;
  readonly sign?: '^' | '^^' | '=' | '_' | '__';
}

export type Token =
  | {
      readonly kind: 'note';
      /** More than one in a chord, none in a rest. */
      readonly pitches: readonly WrittenPitch[];
      /** In unit lengths. */
      readonly length: number;
      readonly tie: boolean;
      readonly where: TextPlace;
    }
  | { readonly kind: 'measures-rest'; readonly count: number; readonly where: TextPlace }
  | {
      readonly kind: 'bar';
      readonly signs: string;
      readonly endings?: readonly number[];
      readonly where: TextPlace;
    }
  | { readonly kind: 'broken'; readonly signs: string; readonly where: TextPlace }
  | {
      readonly kind: 'tuplet';
      readonly p: number;
      readonly q?: number;
      readonly r?: number;
      readonly where: TextPlace;
    }
  | { readonly kind: 'chord'; readonly name: string; readonly where: TextPlace }
  | {
      readonly kind: 'field';
      readonly letter: string;
      readonly value: string;
      readonly where: TextPlace;
    };

type Reader = (match: RegExpExecArray, where: TextPlace, findings: Findings) => Token | undefined;

const LENGTH = '(\\d{0,5})(\\/{0,6})(\\d{0,5})';
const PITCH = "(\\^{1,2}|_{1,2}|=)?([A-Ga-g])([,']*)";

/** `3/2`, `/`, `//4`: numerator, slashes, denominator. Undefined for zero or more. */
function lengthFrom(numerator = '', slashes = '', denominator = ''): number | undefined {
  if (slashes === '' && denominator !== '') return undefined;
  const below = slashes === '' ? 1 : denominator === '' ? 2 ** slashes.length : Number(denominator);
  const length = Number(numerator === '' ? 1 : numerator) / below;
  return Number.isFinite(length) && length > 0 ? length : undefined;
}

function pitchFrom(sign: string | undefined, name = '', marks = ''): WrittenPitch {
  const up = [...marks].reduce((sum, mark) => sum + (mark === "'" ? 1 : -1), 0);
  const octave = (name >= 'a' ? 5 : 4) + up;
  const letter = name.toUpperCase();
  return sign === '^' || sign === '^^' || sign === '=' || sign === '_' || sign === '__'
    ? { letter, octave, sign }
    : { letter, octave };
}

/** More times through a part than this are a slip of the pen. */
export const MAX_TIMES = 20;

/** `1,3,5-7` as numbers, from 1 to `MAX_TIMES`. */
function endingsFrom(text: string): readonly number[] {
  const all = text.split(',').flatMap((piece) => {
    const [from = 0, to = from] = piece.split('-').map(Number);
    const count = Math.min(Math.max(to - from + 1, 0), MAX_TIMES);
    return Array.from({ length: count }, (_, i) => from + i);
  });
  return [...new Set(all)].filter((n) => n >= 1 && n <= MAX_TIMES).sort((a, b) => a - b);
}

function badLength(where: TextPlace, findings: Findings): undefined {
  findings.problems.push({
    code: 'bad-length',
    where,
    words: 'This note has no readable length. Write it as A2, A/2 or A3/2.',
  });
  return undefined;
}

const readNote: Reader = (match, where, findings) => {
  const [, sign, name, marks, numerator, slashes, denominator, tie] = match;
  const length = lengthFrom(numerator, slashes, denominator);
  if (length === undefined) return badLength(where, findings);
  return { kind: 'note', pitches: [pitchFrom(sign, name, marks)], length, tie: tie === '-', where };
};

const readRest: Reader = ([, , numerator, slashes, denominator], where, findings) => {
  const length = lengthFrom(numerator, slashes, denominator);
  if (length === undefined) return badLength(where, findings);
  return { kind: 'note', pitches: [], length, tie: false, where };
};

const readChord: Reader = (match, where, findings) => {
  const inner = (match[1] ?? '').replace(/!\w*!|"[^"]*"|[~.uv\s()]/g, '');
  const notes = [...inner.matchAll(new RegExp(`${PITCH}${LENGTH}(-?)`, 'g'))];
  const [first] = notes;
  if (!first || notes.map(([text]) => text).join('') !== inner) {
    findings.problems.push({
      code: 'unknown-sign',
      where,
      words: `The chord ${match[0].slice(0, 20)} cannot be read. Write notes between [ and ].`,
    });
    return undefined;
  }
  const own = lengthFrom(first[4], first[5], first[6]);
  const outer = lengthFrom(match[2], match[3], match[4]);
  if (own === undefined || outer === undefined) return badLength(where, findings);
  if (notes.length > 1) leaveOut(findings, 'Of notes that sound together the highest was taken');
  const tie = match[5] === '-' || notes.some((note) => note[7] === '-');
  const pitches = notes.map((note) => pitchFrom(note[1], note[2], note[3]));
  return { kind: 'note', pitches, length: own * outer, tie, where };
};

const readQuoted: Reader = (match, where, findings) => {
  const text = (match[1] ?? '').trim();
  const name = /^[A-G][#b♯♭]?[^\s^_<>@]{0,12}$/.test(text) ? text : undefined;
  if (name === undefined) leaveOut(findings, 'Words above or below the notes were left out');
  return name === undefined ? undefined : { kind: 'chord', name, where };
};

const readBar: Reader = (match, where, findings) => {
  const signs = match[1] ?? '';
  if (signs === ':') {
    findings.problems.push({
      code: 'unknown-sign',
      where,
      words: 'A single ":" is no bar line. Write |: or :| for a repeat.',
    });
    return undefined;
  }
  const numbers = match[2] ?? match[3];
  return numbers === undefined
    ? { kind: 'bar', signs, where }
    : { kind: 'bar', signs, endings: endingsFrom(numbers), where };
};

const leftOut =
  (what: string): Reader =>
  (_match, _where, findings) => {
    leaveOut(findings, what);
    return undefined;
  };

const notClosed =
  (words: string): Reader =>
  (_match, where, findings) => {
    findings.problems.push({ code: 'not-closed', where, words });
    return undefined;
  };

function number(text: string | undefined): number | undefined {
  return text === undefined || text === '' ? undefined : Number(text);
}

const readTuplet: Reader = ([, p, q, r], where) => {
  const [into, next] = [number(q), number(r)];
  return {
    kind: 'tuplet',
    p: Number(p),
    ...(into === undefined ? {} : { q: into }),
    ...(next === undefined ? {} : { r: next }),
    where,
  };
};

/** The signs of a music line, tried in this order. Source: ABC 2.1, section 4. */
const SIGNS: readonly (readonly [RegExp, Reader])[] = [
  [/[\s`]+/y, () => undefined],
  [/"([^"]*)"/y, readQuoted],
  [/".*/y, notClosed('The quotation mark is never closed. Put a second " after the chord symbol.')],
  [/\{[^}]*\}/y, leftOut('Grace notes were left out')],
  [/\{.*/y, notClosed('The grace notes are never closed. Put a } after them.')],
  [/!\w[^!\s|]*!|\+[a-z.]+\+/y, leftOut('Ornaments and other signs on notes were left out')],
  [/[!$]/y, () => undefined],
  [
    /\[([A-Za-z]):([^\]]*)\]/y,
    ([, letter, value], where) => ({
      kind: 'field',
      letter: letter ?? '',
      value: value ?? '',
      where,
    }),
  ],
  [/((?:[|:]+\]?|\[\|[|:\]]*))(?:\s*\[(\d[\d,-]*)|(\d[\d,-]*))?/y, readBar],
  [/()\[(\d[\d,-]*)/y, readBar],
  [new RegExp(`\\[([^\\]|]*)\\]${LENGTH}(-?)`, 'y'), readChord],
  [/\[.*/y, notClosed('The chord is never closed. Put a ] after its last note.')],
  [/&[^|]*/y, leftOut('A second voice in the same measure (&) was left out')],
  [/\(([2-9])(?::(\d?)(?::(\d{0,2}))?)?/y, readTuplet],
  [/[()]/y, leftOut('Slurs were left out')],
  [new RegExp(`${PITCH}${LENGTH}(-?)`, 'y'), readNote],
  [new RegExp(`([zx])${LENGTH}`, 'y'), readRest],
  [
    /[ZX](\d{0,3})/y,
    ([, count], where) => ({ kind: 'measures-rest', count: Number(count || 1), where }),
  ],
  [/y[\d/]*/y, () => undefined],
  [/<+|>+/y, ([signs], where) => ({ kind: 'broken', signs, where })],
  [/[~.HLMOPSTuv]/y, leftOut('Ornaments and other signs on notes were left out')],
];

const UNKNOWN = /[^\s|"[\]A-Ga-g]+|./y;

/**
 * A line of music as tokens, in order; what cannot be read is noted as a problem with its column, and the rest is
 * read all the same. Linear in the line's length.
 */
export function tokensOf(text: string, line: number, findings: Findings): readonly Token[] {
  const tokens: Token[] = [];
  let index = 0;
  while (index < text.length) {
    const where = { line, column: index + 1 };
    let read = false;
    for (const [pattern, reader] of SIGNS) {
      pattern.lastIndex = index;
      const match = pattern.exec(text);
      if (!match) continue;
      const token = reader(match, where, findings);
      if (token) tokens.push(token);
      index += match[0].length;
      read = true;
      break;
    }
    if (read) continue;
    UNKNOWN.lastIndex = index;
    const sign = UNKNOWN.exec(text)?.[0] ?? text[index] ?? '';
    const words = `"${sign.slice(0, 20)}" means nothing in ABC music. Take it out, or put words between quotation marks.`;
    findings.problems.push({ code: 'unknown-sign', where, words });
    index += sign.length;
  }
  return tokens;
}
