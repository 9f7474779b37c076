import type { Midi, Ticks } from '../../units';
import { midiFromSpelled } from '../spelling';
import type { XmlPlace } from './problem';
import { PLUCK_WORDS } from './staves';
import type { XmlElement } from './xml';
import { childOf, childrenOf, numberAt, textAt } from './xml';

/** A note as it stands in a score, in ticks from the start of its measure. */
export interface ScoreNote {
  readonly at: Ticks;
  readonly length: Ticks;
  /** Sounding pitch; absent for a rest and for what has no pitch. */
  readonly midi?: Midi;
  readonly staff: number;
  readonly voice: string;
  readonly tiedFrom: boolean;
  readonly string?: number;
  /** As written: on a short string counted from wherever the writer counts. */
  readonly fret?: number;
  /** The fretting hand sounds it. */
  readonly by?: 'hammer' | 'pull' | 'slide' | 'pluck';
  readonly thumb: boolean;
  /** Who plucks it is said at all. */
  readonly told: boolean;
  readonly chop: boolean;
  readonly arpeggio: boolean;
  readonly where: XmlPlace;
}

/** The written pitch as MIDI; undefined where there is none that can be read. */
function writtenMidi(note: XmlElement): Midi | undefined {
  const pitch = childOf(note, 'pitch');
  if (!pitch) return undefined;
  const letter = textAt(pitch, 'step') ?? '';
  const octave = numberAt(pitch, 'octave');
  if (!/^[A-G]$/.test(letter) || octave === undefined) return undefined;
  const midi = midiFromSpelled({ letter, alter: numberAt(pitch, 'alter') ?? 0, octave });
  return Number.isInteger(midi) && midi >= 0 && midi <= 127 ? midi : undefined;
}

function hasStop(elements: readonly XmlElement[], name: string): boolean {
  return elements.some((one) => one.name === name && one.attributes.get('type') === 'stop');
}

function frettedBy(
  marks: readonly XmlElement[],
  technical: readonly XmlElement[],
): ScoreNote['by'] {
  if (hasStop(technical, 'hammer-on')) return 'hammer';
  if (hasStop(technical, 'pull-off')) return 'pull';
  if (hasStop(marks, 'slide') || hasStop(marks, 'glissando')) return 'slide';
  const words = technical.find(({ name }) => name === 'other-technical')?.text;
  return words === PLUCK_WORDS ? 'pluck' : undefined;
}

/** What a note's own element says of it, without its time. */
export function noteFrom(note: XmlElement, at: Ticks, length: Ticks, shift: number): ScoreNote {
  const marks = childrenOf(note, 'notations').flatMap(({ children }) => children);
  const technical = marks.filter(({ name }) => name === 'technical').flatMap((one) => one.children);
  const number = (name: string) => {
    const element = technical.find((one) => one.name === name);
    return element && /^\d{1,2}$/.test(element.text) ? Number(element.text) : undefined;
  };
  const pluck = technical.find(({ name }) => name === 'pluck')?.text;
  const written = writtenMidi(note);
  const [string, fret, by] = [number('string'), number('fret'), frettedBy(marks, technical)];
  return {
    at,
    length,
    ...(written === undefined ? {} : { midi: written + shift }),
    staff: numberAt(note, 'staff') ?? 1,
    voice: textAt(note, 'voice') ?? '1',
    tiedFrom: hasStop(note.children, 'tie') || hasStop(marks, 'tied'),
    ...(string === undefined ? {} : { string }),
    ...(fret === undefined ? {} : { fret }),
    ...(by === undefined ? {} : { by }),
    thumb: pluck === 'p',
    told: pluck !== undefined,
    chop: textAt(note, 'notehead') === 'x',
    arpeggio: marks.some(({ name }) => name === 'arpeggiate'),
    where: note.where,
  };
}
