import type { Midi, Ticks } from '../../units';
import type { Token } from './lex';
import type { Findings, TextPlace } from './problem';

/** A note or a rest with its length worked out; its ticks may be broken in a tuplet. */
export interface Sound {
  readonly kind: 'note';
  /** Absent in a rest. */
  readonly midi?: Midi;
  /** Changes while a broken rhythm after it is read, and no more once the row is read. */
  ticks: number;
  readonly tie: boolean;
  readonly where: TextPlace;
}

/** Into how many notes' time a tuplet goes. Source: ABC 2.1, section 4.13. */
export function tupletTime(p: number, meter: { readonly name: string }): number {
  const n = meter.name === '6/8' ? 3 : 2;
  return { 2: 3, 3: 2, 4: 3, 5: n, 6: 2, 7: n, 8: 3, 9: n }[p] ?? n;
}

/** The rhythm of a row of notes: unit length, broken rhythm, tuplets. */
export class Rhythm {
  private last: Sound | undefined;
  private broken: { readonly factor: number; readonly where: TextPlace } | undefined;
  private tuplet: { left: number; readonly factor: number; readonly where: TextPlace } | undefined;

  constructor(
    private unit: Ticks,
    private meter: { readonly name: string },
    private readonly findings: Findings,
  ) {}

  changeMeter(name: string): void {
    this.meter = { name };
  }

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

  sound(token: Extract<Token, { kind: 'note' }>, midi: Midi | undefined): Sound {
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
