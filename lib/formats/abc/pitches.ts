import type { Midi, Semitones } from '../../units';
import type { AbcKey } from './key';
import type { Token, WrittenPitch } from './lex';
import type { AbcSource } from './source';

const NATURAL: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const SEMITONES = { '^': 1, '^^': 2, '=': 0, _: -1, __: -2 } as const;

/** Pitches under a key signature and the signs of the bar. */
export class Pitches {
  private written = new Map<string, number>();
  private pending: { readonly name: string; readonly midi: Midi } | undefined;

  constructor(
    private key: AbcKey,
    private readonly shift: Semitones,
    private readonly reach: AbcSource['propagate'],
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
  highest(token: Extract<Token, { kind: 'note' }>): Midi | undefined {
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
          : token.pitches.reduce((high, pitch) => Math.max(high, this.one(pitch)), -Infinity);
    const held = only ? `${only.letter}${only.octave}` : '';
    this.pending = token.tie && midi !== undefined ? { name: held, midi } : undefined;
    return midi;
  }
}
