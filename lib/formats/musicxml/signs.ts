import type { Mode } from '../../harmony';
import { MODES } from '../../harmony';
import { KINDS } from './harmony';
import type { XmlElement } from './xml';
import { childOf, childrenOf, numberAt, textAt } from './xml';

/** What bar lines and directions of one measure say. */
export interface MeasureSigns {
  /** A repeat begins before it. */
  readonly starts: boolean;
  /** Times more that the part is played after it. */
  readonly ends: number;
  readonly doubleBefore: boolean;
  readonly doubleAfter: boolean;
  readonly ending?: readonly number[];
  readonly endingStops: boolean;
  readonly part?: string;
  /** Quarters a minute. */
  readonly quarters?: number;
  readonly jumps: boolean;
}

/** Bar lines that end a part. Source: MusicXML 4.0, bar-style. */
const DOUBLE = new Set(['light-light', 'light-heavy', 'heavy-light', 'heavy-heavy']);
/** Most times through a part. */
const MAX_TIMES = 20;

/** `1, 2` as numbers; none for an ending that is printed without. Source: MusicXML 4.0, ending-number. */
function endingNumbers(text: string): readonly number[] {
  const all = text.split(/\s*,\s*/).map(Number);
  return [...new Set(all)].filter((n) => Number.isInteger(n) && n >= 1 && n <= MAX_TIMES);
}

function suffixOf(kind: XmlElement): string {
  const text = kind.attributes.get('text');
  if (text !== undefined) return text;
  return Object.keys(KINDS).find((suffix) => KINDS[suffix] === kind.text) ?? '';
}

function noteNameIn(element: XmlElement, what: 'root' | 'bass'): string | undefined {
  const step = textAt(element, what, `${what}-step`);
  if (step === undefined || !/^[A-G]$/.test(step)) return undefined;
  const alter = numberAt(element, what, `${what}-alter`) ?? 0;
  return step + (alter === 1 ? '#' : alter === -1 ? 'b' : '');
}

/** A chord symbol as players write it, at most 16 characters long. */
export function chordFrom(harmony: XmlElement): string | undefined {
  const kind = childOf(harmony, 'kind');
  if (kind?.text === 'none') return kind.attributes.get('text')?.slice(0, 16) || undefined;
  const root = noteNameIn(harmony, 'root');
  if (root === undefined || !kind) return undefined;
  const bass = noteNameIn(harmony, 'bass');
  return `${root}${suffixOf(kind)}${bass === undefined ? '' : `/${bass}`}`.slice(0, 16);
}

const QUARTERS: ReadonlyMap<string, number> = new Map([
  ['whole', 4],
  ['half', 2],
  ['quarter', 1],
  ['eighth', 0.5],
]);

/** Quarters a minute of a direction: what is played, or else what is printed. */
function tempoIn(element: XmlElement): number | undefined {
  const sound = element.name === 'sound' ? element : childOf(element, 'sound');
  const tempo = sound?.attributes.get('tempo');
  if (tempo !== undefined && /^\d{1,4}(\.\d+)?$/.test(tempo)) return Number(tempo);
  for (const type of childrenOf(element, 'direction-type')) {
    const metronome = childOf(type, 'metronome');
    if (!metronome) continue;
    const value = numberAt(metronome, 'per-minute');
    const quarters = QUARTERS.get(textAt(metronome, 'beat-unit') ?? '');
    if (value !== undefined && quarters !== undefined)
      return value * quarters * (childOf(metronome, 'beat-unit-dot') ? 1.5 : 1);
  }
  return undefined;
}

const JUMPS = ['dacapo', 'dalsegno', 'tocoda', 'fine', 'coda', 'segno'];

function isJump(element: XmlElement): boolean {
  const sound = element.name === 'sound' ? element : childOf(element, 'sound');
  if (sound && JUMPS.some((name) => sound.attributes.has(name))) return true;
  return childrenOf(element, 'direction-type').some(
    (type) => childOf(type, 'segno') !== undefined || childOf(type, 'coda') !== undefined,
  );
}

/** The letter of a part in a rehearsal mark. */
function partIn(direction: XmlElement): string | undefined {
  const marks = childrenOf(direction, 'direction-type').flatMap((one) =>
    childrenOf(one, 'rehearsal'),
  );
  return marks.map(({ text }) => text.trim()).find((text) => text !== '');
}

export function signsIn(contents: readonly XmlElement[]): MeasureSigns {
  const bars = contents.filter(({ name }) => name === 'barline');
  const isLeft = (bar: XmlElement) => bar.attributes.get('location') === 'left';
  const repeat = (bar: XmlElement) => childOf(bar, 'repeat')?.attributes;
  const endings = bars.flatMap((bar) => childrenOf(bar, 'ending'));
  const back = bars.find((bar) => repeat(bar)?.get('direction') === 'backward');
  const times = Number((back && repeat(back)?.get('times')) ?? 2);
  const started = endings.find((one) => one.attributes.get('type') === 'start');
  const numbers = started && endingNumbers(started.attributes.get('number') ?? '');
  const directions = contents.filter(({ name }) => name === 'direction' || name === 'sound');
  const double = (bar: XmlElement) => DOUBLE.has(textAt(bar, 'bar-style') ?? '');
  const part = directions.map(partIn).find((text) => text !== undefined);
  const quarters = directions.map(tempoIn).find((tempo) => tempo !== undefined && tempo > 0);
  return {
    starts: bars.some((bar) => repeat(bar)?.get('direction') === 'forward'),
    ends: back ? Math.min(Math.max(Number.isInteger(times) ? times - 1 : 1, 1), MAX_TIMES - 1) : 0,
    doubleBefore: bars.some((bar) => isLeft(bar) && double(bar)),
    doubleAfter: bars.some((bar) => !isLeft(bar) && double(bar)),
    ...(numbers && numbers.length > 0 ? { ending: numbers } : {}),
    endingStops: endings.some((one) => one.attributes.get('type') !== 'start'),
    ...(part === undefined ? {} : { part }),
    ...(quarters === undefined ? {} : { quarters }),
    jumps: directions.some(isJump),
  };
}

/** The mode that a key's word names; undefined for none that we know. Source: MusicXML 4.0, mode. */
export function modeFrom(text: string | undefined): Mode | undefined {
  if (text === 'ionian') return 'major';
  if (text === 'aeolian') return 'minor';
  return MODES.find((mode) => mode === text);
}

/** "4/4" of a time element; where it has no single pair of numbers, all that stands in it. */
export function meterTextIn(time: XmlElement): string {
  const [beats, ...more] = childrenOf(time, 'beats');
  const [type, ...types] = childrenOf(time, 'beat-type');
  if (beats && type && more.length + types.length === 0) return `${beats.text}/${type.text}`;
  return time.children.map(({ text }) => text).join('/');
}
