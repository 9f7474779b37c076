import { pitchClass, pitchClassFromName } from './pitch';
import type { Problem, Result } from './result';
import { fail, ok } from './result';
import type { Midi } from './units';

/** The modes of old-time tunes. */
export type Mode = 'major' | 'mixolydian' | 'dorian' | 'minor' | 'phrygian' | 'lydian' | 'locrian';

/** A key as written: its tonic's name ("F#") and its mode. */
export interface Key {
  readonly tonic: string;
  readonly mode: Mode;
}

/**
 * Scale steps in semitones above the tonic.
 * Source: the church modes as named in ABC 2.1, section 4.6 (checked against its table of signatures).
 */
const STEPS: Readonly<Record<Mode, readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9, 11],
  mixolydian: [0, 2, 4, 5, 7, 9, 10],
  dorian: [0, 2, 3, 5, 7, 9, 10],
  minor: [0, 2, 3, 5, 7, 8, 10],
  phrygian: [0, 1, 3, 5, 7, 8, 10],
  lydian: [0, 2, 4, 6, 7, 9, 11],
  locrian: [0, 1, 3, 5, 6, 8, 10],
};

export const MODES = Object.keys(STEPS) as readonly Mode[];

/** Pitch classes of the key's scale, tonic first. */
export function scaleOf(key: Key): readonly number[] {
  const tonic = pitchClassFromName(key.tonic);
  if (tonic === undefined) throw new RangeError(`no such tonic: ${key.tonic}`);
  return STEPS[key.mode].map((step) => (tonic + step) % 12);
}

/** A chord as written, with its pitch classes. */
export interface Chord {
  /** As players write it: "G", "D7", "Am". */
  readonly symbol: string;
  readonly root: number;
  /** Pitch classes, root first; a bass that is none of them last. */
  readonly tones: readonly number[];
}

export type ChordProblem = Problem<'no-root' | 'unknown-kind', { readonly symbol: string }>;

/**
 * Semitones above the root.
 * Source: common chord symbols; checked against a reference library in tests/reference/harmony.test.ts.
 */
const KINDS: ReadonlyMap<string, readonly number[]> = new Map(
  Object.entries({
    '': [0, 4, 7],
    m: [0, 3, 7],
    '5': [0, 7],
    '6': [0, 4, 7, 9],
    '7': [0, 4, 7, 10],
    '9': [0, 4, 7, 10, 2],
    '11': [0, 7, 10, 2, 5],
    '13': [0, 4, 7, 10, 2, 9],
    m6: [0, 3, 7, 9],
    m7: [0, 3, 7, 10],
    maj7: [0, 4, 7, 11],
    add9: [0, 4, 7, 2],
    sus2: [0, 2, 7],
    sus4: [0, 5, 7],
    '7sus4': [0, 5, 7, 10],
    dim: [0, 3, 6],
    dim7: [0, 3, 6, 9],
    m7b5: [0, 3, 6, 10],
    aug: [0, 4, 8],
  }),
);
/** Other ways to write the same. */
const ALSO: ReadonlyMap<string, string> = new Map(
  Object.entries({
    maj: '',
    M: '',
    min: 'm',
    '-': 'm',
    min6: 'm6',
    min7: 'm7',
    '-7': 'm7',
    M7: 'maj7',
    Δ: 'maj7',
    sus: 'sus4',
    '7sus': '7sus4',
    '°': 'dim',
    o: 'dim',
    ø: 'm7b5',
    '+': 'aug',
  }),
);

/**
 * A chord symbol as a chord: a letter with sharp or flat, a kind, and perhaps a bass after a slash. Says which part
 * cannot be read.
 */
export function parseChord(symbol: string): Result<Chord, ChordProblem> {
  const plain = symbol.trim().replaceAll('♯', '#').replaceAll('♭', 'b');
  const [, name = '', kind = '', bass] =
    /^([A-G][#b]?)([^/]*)(?:\/([A-G][#b]?))?$/.exec(plain) ?? [];
  const root = pitchClassFromName(name);
  const where = { symbol };
  if (root === undefined)
    return fail({
      code: 'no-root',
      where,
      words: `"${symbol}" names no chord. Begin with a letter from A to G, as in G, D7 or Am.`,
    });
  const steps = KINDS.get(ALSO.get(kind) ?? kind);
  if (!steps)
    return fail({
      code: 'unknown-kind',
      where,
      words: `"${symbol}": "${kind}" is no kind of chord that we know. Try ${name}, ${name}m or ${name}7.`,
    });
  const tones = steps.map((step) => (root + step) % 12);
  const low = bass === undefined ? undefined : pitchClassFromName(bass);
  const all = low === undefined || tones.includes(low) ? tones : [...tones, low];
  return ok({ symbol: plain, root, tones: all });
}

/** How a note sits in the harmony: in the chord, in the scale, outside but on its way by step, or outside. */
export type ToneClass = 'chord' | 'scale' | 'passing' | 'outside';

/** A step that resolves: a semitone or two. Source: common practice, no source. */
const STEP = 2;

/**
 * How a note sits in the harmony.
 * @param scale the key's pitch classes, from `scaleOf`
 * @param next the next note heard on the same line, if it comes by the next beat
 */
export function toneClass(
  midi: Midi,
  scale: readonly number[],
  chord: Chord | undefined,
  next: Midi | undefined,
): ToneClass {
  const belongs = (note: Midi) =>
    chord?.tones.includes(pitchClass(note)) === true || scale.includes(pitchClass(note));
  if (chord?.tones.includes(pitchClass(midi))) return 'chord';
  if (scale.includes(pitchClass(midi))) return 'scale';
  const resolves = next !== undefined && Math.abs(next - midi) <= STEP && belongs(next);
  return resolves ? 'passing' : 'outside';
}

/** A chord that nobody wrote. */
export interface InferredChord {
  readonly chord: Chord;
  /** Always true, so that a page can mark it as our guess. */
  readonly inferred: true;
  /** Part of the time, 0 to 1, in which the notes belong to the chord. */
  readonly share: number;
}

const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'] as const;
const SIGNS: Readonly<Record<number, string>> = { 0: '', 1: '#', 2: '##', 10: 'bb', 11: 'b' };

/** The name of a step of the key's scale: each step has a letter of its own. */
function stepName(key: Key, step: number, pitch: number): string {
  const first = LETTERS.findIndex((letter) => key.tonic.startsWith(letter));
  const letter = LETTERS[(first + step) % 7] ?? 'C';
  const sign = SIGNS[(pitch - (pitchClassFromName(letter) ?? 0) + 12) % 12];
  return `${letter}${sign ?? ''}`;
}

/** Steps of the scale whose chords a tune is likeliest to use, from 0. Source: common practice, no source. */
const LIKELY: readonly number[] = [0, 4, 3, 6, 5, 1, 2];

/** Triads of the key's scale that are major or minor, the likeliest first. */
function triadsOf(key: Key): readonly Chord[] {
  const scale = scaleOf(key);
  return LIKELY.flatMap((step): readonly Chord[] => {
    const root = scale[step] ?? 0;
    const third = ((scale[(step + 2) % 7] ?? 0) - root + 12) % 12;
    const fifth = ((scale[(step + 4) % 7] ?? 0) - root + 12) % 12;
    if (fifth !== 7) return [];
    const tones = [0, third, fifth].map((above) => (root + above) % 12);
    return [{ symbol: `${stepName(key, step, root)}${third === 3 ? 'm' : ''}`, root, tones }];
  });
}

/**
 * The chord of the key that the notes suggest most, weighed by how long they last; a draw goes to the likelier one, so
 * that no notes mean the tonic's chord.
 */
export function inferChord(
  notes: readonly { readonly midi: Midi; readonly length: number }[],
  key: Key,
): InferredChord {
  const total = notes.reduce((sum, { length }) => sum + length, 0);
  let best: InferredChord | undefined;
  for (const chord of triadsOf(key)) {
    const fitting = notes.filter(({ midi }) => chord.tones.includes(pitchClass(midi)));
    const time = fitting.reduce((sum, { length }) => sum + length, 0);
    const share = total === 0 ? 0 : time / total;
    if (!best || share > best.share) best = { chord, inferred: true, share };
  }
  if (!best) throw new RangeError(`no chords in ${key.tonic} ${key.mode}`);
  return best;
}
