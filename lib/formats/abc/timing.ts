import type { Meter } from '../../rhythm';
import type { Midi, Ticks } from '../../units';
import { unitFrom } from './fields';
import type { AbcKey } from './key';
import { keyFrom } from './key';
import type { Token, WrittenPitch } from './lex';
import type { Findings, TextPlace } from './problem';
import { leaveOut } from './problem';
import type { AbcSource } from './source';

type Signs = 'not' | 'octave' | 'pitch';

/** What is left of the text once lengths and pitches are worked out. Ticks of a note may be broken (tuplets). */
export type Sounded =
  | {
      readonly kind: 'note';
      readonly midi?: Midi;
      ticks: number;
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
  | { readonly kind: 'chord'; readonly name: string }
  | { readonly kind: 'part'; readonly name: string; readonly where: TextPlace };

type Sound = Extract<Sounded, { kind: 'note' }>;
type NoteToken = Extract<Token, { kind: 'note' }>;

const NATURAL: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const SEMITONES = { '^': 1, '^^': 2, '=': 0, _: -1, __: -2 } as const;

/** Pitches under a key signature and the signs of the bar. */
class Pitches {
  private written = new Map<string, number>();
  private pending: { readonly name: string; readonly midi: Midi } | undefined;

  constructor(
    private key: AbcKey,
    private readonly shift: number,
    private readonly reach: Signs,
  ) {}

  changeKey(key: AbcKey): void {
    this.key = key;
    this.written.clear();
  }

  barLine(): void {
    this.written.clear();
  }

  private one(pitch: WrittenPitch): Midi {
    const { letter, octave, sign } = pitch;
    const name = this.reach === 'octave' ? `${letter}${octave}` : letter;
    const semitones = sign === undefined ? undefined : SEMITONES[sign];
    if (semitones !== undefined && this.reach !== 'not') this.written.set(name, semitones);
    const bent = semitones ?? this.written.get(name) ?? this.key.signature.get(letter) ?? 0;
    return 12 * (octave + 1) + (NATURAL[letter] ?? 0) + bent + this.key.shift + this.shift;
  }

  /** The highest of the notes, undefined for a rest. A tied note keeps the sign that it had before the bar line. */
  highest(token: NoteToken): Midi | undefined {
    const [only] = token.pitches;
    const name =
      only && token.pitches.length === 1 && only.sign === undefined
        ? `${only.letter}${only.octave}`
        : '';
    const midi =
      this.pending && this.pending.name === name
        ? this.pending.midi
        : token.pitches.length === 0
          ? undefined
          : Math.max(...token.pitches.map((pitch) => this.one(pitch)));
    const held = only ? `${only.letter}${only.octave}` : '';
    this.pending = token.tie && midi !== undefined ? { name: held, midi } : undefined;
    return midi;
  }
}

/** Into how many notes' time a tuplet goes. Source: ABC 2.1, section 4.13. */
export function tupletTime(p: number, meter: Meter): number {
  const n = meter.name === '6/8' ? 3 : 2;
  return { 2: 3, 3: 2, 4: 3, 5: n, 6: 2, 7: n, 8: 3, 9: n }[p] ?? n;
}

/** The rhythm of a row of notes: unit length, broken rhythm, tuplets. */
class Rhythm {
  private last: Sound | undefined;
  private broken: { readonly factor: number; readonly where: TextPlace } | undefined;
  private tuplet: { left: number; readonly factor: number; readonly where: TextPlace } | undefined;

  constructor(
    private unit: Ticks,
    private readonly meter: Meter,
    private readonly findings: Findings,
  ) {}

  changeUnit(unit: Ticks): void {
    this.unit = unit;
  }

  startTuplet(token: Extract<Token, { kind: 'tuplet' }>): void {
    this.endTuplet();
    const { p, q = tupletTime(p, this.meter), r = p, where } = token;
    if (q > 0 && r > 0) this.tuplet = { left: r, factor: q / p, where };
    else
      this.findings.problems.push({
        code: 'tuplet',
        where,
        words: `(${p}:${q}:${r} is no tuplet. Write (3 before three notes.`,
      });
  }

  endTuplet(): void {
    if (this.tuplet) {
      const { left, where } = this.tuplet;
      this.findings.problems.push({
        code: 'tuplet',
        where,
        words: `This tuplet lacks ${left} note${left === 1 ? '' : 's'} before the tune ends or another begins.`,
      });
    }
    this.tuplet = undefined;
  }

  /** `>` dots the note before and halves the next, `>>` dots it twice, and so on. */
  breakRhythm(signs: string, where: TextPlace): void {
    const short = 1 / 2 ** signs.length;
    const factors = signs.startsWith('>') ? [2 - short, short] : [short, 2 - short];
    if (!this.last || this.broken) {
      this.findings.problems.push({
        code: 'broken-rhythm',
        where,
        words: `"${signs}" has to stand between two notes.`,
      });
      return;
    }
    this.last.ticks *= factors[0] ?? 1;
    this.broken = { factor: factors[1] ?? 1, where };
  }

  /** A bar line: a broken rhythm does not reach over it. */
  barLine(): void {
    this.endBroken();
    this.last = undefined;
  }

  endBroken(): void {
    if (this.broken)
      this.findings.problems.push({
        code: 'broken-rhythm',
        where: this.broken.where,
        words: 'This broken rhythm has no note after it. Put both notes in one measure.',
      });
    this.broken = undefined;
  }

  sound(token: NoteToken, midi: Midi | undefined): Sound {
    const ticks =
      token.length * this.unit * (this.broken?.factor ?? 1) * (this.tuplet?.factor ?? 1);
    this.broken = undefined;
    if (this.tuplet) {
      this.tuplet.left -= 1;
      if (this.tuplet.left === 0) this.tuplet = undefined;
    }
    const { tie, where } = token;
    this.last =
      midi === undefined
        ? { kind: 'note', ticks, tie, where }
        : { kind: 'note', midi, ticks, tie, where };
    return this.last;
  }
}

/** What the fields inside the tune change; what they cannot change is a problem or a remark. */
function readField(
  token: Extract<Token, { kind: 'field' }>,
  state: {
    readonly meter: Meter;
    readonly pitches: Pitches;
    readonly rhythm: Rhythm;
    readonly findings: Findings;
  },
  isSameMeter: (value: string) => boolean,
): Sounded | undefined {
  const { letter, value, where } = token;
  const { findings } = state;
  if (letter === 'P') return { kind: 'part', name: value.trim(), where };
  if (letter === 'K') {
    const key = keyFrom(value);
    if (key) {
      state.pitches.changeKey(key);
      leaveOut(
        findings,
        'The key changes inside the tune; the notes follow it, but the board names the first key only',
      );
    } else
      findings.problems.push({
        code: 'bad-key',
        where,
        words: `"${value.slice(0, 20)}" names no key. Write K:G or K:Ador.`,
      });
  } else if (letter === 'L') {
    const unit = unitFrom(value);
    if (unit !== undefined) state.rhythm.changeUnit(unit);
    else
      findings.problems.push({
        code: 'bad-unit',
        where,
        words: `"${value.slice(0, 20)}" is no unit length. Write L:1/8.`,
      });
  } else if (letter === 'M') {
    if (!isSameMeter(value))
      findings.problems.push({
        code: 'meter-change',
        where,
        words: `The meter changes to ${value.slice(0, 20)}. A board keeps one meter from start to end: ${state.meter.name} here.`,
      });
  } else if (letter === 'Q') {
    leaveOut(findings, 'A change of tempo inside the tune was left out');
  } else if (letter === 'm' || letter === 'U') {
    leaveOut(findings, `The field ${letter}: was left out, and what it stands for with it`);
  } else if (/[Is]/.test(letter)) {
    leaveOut(findings, `The field ${letter}: was left out`);
  }
  return undefined;
}

/**
 * Notes with pitch and length, between bar lines, from a voice's tokens.
 * Source: ABC 2.1, sections 4.2 (signs), 4.3 (lengths), 4.4 (broken rhythm), 4.13 (tuplets).
 */
export function soundedFrom(
  tokens: readonly Token[],
  setting: {
    readonly meter: Meter;
    readonly unit: Ticks;
    readonly key: AbcKey;
    readonly shift: number;
  },
  propagate: AbcSource['propagate'],
  isSameMeter: (value: string) => boolean,
  findings: Findings,
): readonly Sounded[] {
  const pitches = new Pitches(setting.key, setting.shift, propagate);
  const rhythm = new Rhythm(setting.unit, setting.meter, findings);
  const state = { meter: setting.meter, pitches, rhythm, findings };
  const sounded: Sounded[] = [];
  for (const token of tokens) {
    if (token.kind === 'note') sounded.push(rhythm.sound(token, pitches.highest(token)));
    else if (token.kind === 'broken') rhythm.breakRhythm(token.signs, token.where);
    else if (token.kind === 'tuplet') rhythm.startTuplet(token);
    else if (token.kind === 'field') {
      const part = readField(token, state, isSameMeter);
      if (part) sounded.push(part);
    } else {
      if (token.kind === 'bar' && token.signs !== '') {
        pitches.barLine();
        rhythm.barLine();
      }
      sounded.push(token);
    }
  }
  rhythm.endBroken();
  rhythm.endTuplet();
  return sounded;
}
