import type { By, Note } from '../../lib/tab/measure';
import type { StringNumber } from '../../lib/units';
import { isStringNumber } from '../../lib/units';
import type { Cursor } from './cursor';

/** A number as it is told, from 1. */
export const NUMBER = /[1-9]\d*/y;
function readString(cursor: Cursor): StringNumber {
  const string = Number(cursor.take(NUMBER));
  if (!isStringNumber(string)) throw cursor.trouble(`no string ${string}`);
  return string;
}

/** "1 and 2", "1, 2 and 4": at least two. */
function readList<T>(cursor: Cursor, item: () => T): readonly T[] {
  const items = [item()];
  while (cursor.has(', ')) items.push(item());
  cursor.expect(' and ');
  return [...items, item()];
}

/** "string 3", "strings 1 to 3", "strings 1, 2 and 4". */
function readStrings(cursor: Cursor): readonly StringNumber[] {
  if (cursor.has('string ')) return [readString(cursor)];
  cursor.expect('strings ');
  const range = cursor.match(/([1-5]) to ([1-5])/y);
  if (!range) return readList(cursor, () => readString(cursor));
  const [low, high] = [Number(range[1]), Number(range[2])];
  if (high - low < 2)
    throw cursor.trouble('"to" stands between strings that have one between them');
  return Array.from({ length: high - low + 1 }, (_, i) => low + i).filter(isStringNumber);
}

function readFret(cursor: Cursor): number {
  return cursor.has('open') ? 0 : Number(cursor.take(NUMBER));
}

/** " open", " at fret 2", " at 2, open and 3". */
function readStops(cursor: Cursor, strings: readonly StringNumber[]): readonly Note[] {
  const all = (fret: number) => strings.map((string) => ({ string, fret }));
  if (cursor.has(' open')) return all(0);
  if (cursor.has(' at fret ')) return all(Number(cursor.take(NUMBER)));
  cursor.expect(' at ');
  const frets = readList(cursor, () => readFret(cursor));
  if (frets.length !== strings.length)
    throw cursor.trouble(`${frets.length} frets for ${strings.length} strings`);
  if (new Set(frets).size === 1) throw cursor.trouble('one fret for all is told once');
  return strings.map((string, i) => ({ string, fret: frets[i] ?? 0 }));
}

function readPlace(cursor: Cursor): readonly Note[] {
  return readStops(cursor, readStrings(cursor));
}

function openStrings(count: number): readonly Note[] {
  return [1, 2, 3, 4]
    .filter(isStringNumber)
    .slice(0, count)
    .map((string) => ({ string, fret: 0 }));
}

/** Who does what to which string, as a sentence tells it. */
export interface Deed {
  readonly by: By;
  readonly notes: readonly Note[];
  readonly fromNowhere: boolean;
}

function deed(by: By, notes: readonly Note[], fromNowhere = false): Deed {
  return { by, notes, fromNowhere };
}

/** What follows "brush": nothing, "all four", or the strings. */
function readBrush(cursor: Cursor): Deed {
  if (cursor.has(' all four')) return deed('brush', openStrings(4));
  if (!cursor.sees(' string')) return deed('brush', openStrings(3));
  cursor.expect(' ');
  return deed('brush', readPlace(cursor));
}

/** What follows "with a stopped hand brush ": frets only where some are stopped. */
function readChop(cursor: Cursor): Deed {
  const strings = readStrings(cursor);
  if (cursor.sees(' at ')) return deed('chop', readStops(cursor, strings));
  return deed(
    'chop',
    strings.map((string) => ({ string, fret: 0 })),
  );
}

function readThumb(cursor: Cursor): Deed {
  if (cursor.has('the drone at fret '))
    return deed('thumb', [{ string: 5, fret: Number(cursor.take(NUMBER)) }]);
  if (cursor.has('the drone')) return deed('thumb', [{ string: 5, fret: 0 }]);
  const notes = readPlace(cursor);
  if (notes.length < 2) throw cursor.trouble('the thumb on one string is a drone or a drop');
  return deed('thumb', notes);
}

function readTarget(cursor: Cursor): number {
  cursor.expect(' to ');
  if (cursor.has('open')) return 0;
  cursor.expect('fret ');
  return Number(cursor.take(NUMBER));
}

const JOINED: readonly {
  readonly by: By;
  readonly alone: string;
  readonly before: string;
  readonly after: string;
}[] = [
  { by: 'hammer', alone: 'hammer on', before: 'hammer on string ', after: '' },
  { by: 'pull', alone: 'pull off', before: 'pull string ', after: ' off' },
  { by: 'slide', alone: 'slide', before: 'slide string ', after: '' },
];

/** A hammer, pull or slide, or undefined. `heard` is the string that it is on where it names none. */
function readJoined(cursor: Cursor, heard: StringNumber | undefined): Deed | undefined {
  for (const { by, alone, before, after } of JOINED) {
    if (cursor.has(before)) {
      const string = readString(cursor);
      cursor.expect(after);
      const notes = [{ string, fret: readTarget(cursor) }];
      return deed(by, notes, by === 'hammer' && cursor.has(' from nowhere'));
    }
    if (cursor.sees(`${alone} to `)) {
      cursor.expect(alone);
      if (heard === undefined)
        throw cursor.trouble(`"${alone}" names no string and none was heard`);
      return deed(by, [{ string: heard, fret: readTarget(cursor) }]);
    }
    if (cursor.has(`${by} `)) {
      const notes = readPlace(cursor);
      if (notes.length < 2) throw cursor.trouble(`a ${by} on one string goes to a fret`);
      return deed(by, notes);
    }
  }
  return undefined;
}

/** A deed from here on. `heard` is the string of a hammer, pull or slide that names none. */
export function readDeed(cursor: Cursor, heard: StringNumber | undefined): Deed {
  if (cursor.has('rest')) return deed('rest', []);
  if (cursor.has('strike ')) return deed('strike', readPlace(cursor));
  if (cursor.has('brush')) return readBrush(cursor);
  if (cursor.has('drop the thumb to ')) return deed('thumb', readPlace(cursor));
  if (cursor.has('thumb ')) return readThumb(cursor);
  if (cursor.has('with the fretting hand pluck ')) return deed('pluck', readPlace(cursor));
  if (cursor.has('with a stopped hand brush ')) return readChop(cursor);
  const joined = readJoined(cursor, heard);
  if (!joined) throw cursor.trouble('nobody does that');
  return joined;
}
