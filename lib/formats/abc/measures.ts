import type { MelodyNote } from '../../melody';
import type { Meter } from '../../rhythm';
import type { ChordChange } from '../../tune';
import { MAX_CHORDS } from '../../tune';
import type { Midi, Ticks } from '../../units';
import type { Told } from '../other-meter';
import { MAX_TIMES } from './lex';
import type { Findings, TextPlace } from './problem';
import { leaveOut } from './problem';
import type { Sounded } from './timing';

/** What the bar lines between two measures say together. */
export interface BarLine {
  /** Times more that the part before is played: 1 for `:|`, 2 for `::|`, else 0. */
  readonly ends: number;
  readonly starts: boolean;
  /** A double or thick bar line, which ends a part. */
  readonly double: boolean;
  readonly endings?: readonly number[];
  readonly part?: string;
}

/** A measure as it stands in the text, with the bar lines around it. */
export interface TextMeasure {
  /** Counts from 1, over the whole tune. */
  readonly number: number;
  readonly where: TextPlace;
  readonly ticks: Ticks;
  readonly notes: readonly MelodyNote[];
  readonly chord?: string;
  readonly chords?: readonly ChordChange[];
  /** The length that a meter of its own tells, where that is not the tune's. */
  readonly told?: Told;
  /** It completes the bar of the measure before it, which is written as two. */
  readonly goesOn?: boolean;
  readonly before: BarLine;
  readonly after: BarLine;
}

const PLAIN: BarLine = { ends: 0, starts: false, double: false };

/**
 * `::` is `:||:`; `|::` and `::|` stand for one time more.
 * Source: ABC 2.1, sections 4.8 and 4.9.
 */
function barLineFrom(signs: string): Pick<BarLine, 'ends' | 'starts' | 'double'> {
  if (/^:+$/.test(signs))
    return { ends: Math.min(signs.length - 1, MAX_TIMES - 1), starts: true, double: true };
  const colons = /^:*/.exec(signs)?.[0].length ?? 0;
  const ends = Math.min(colons, MAX_TIMES - 1);
  const starts = /:$/.test(signs.slice(colons));
  return { ends, starts, double: /\|\||\[\||\|\]/.test(signs) || ends > 0 || starts };
}

/** A whole number very close to this one, or undefined. */
function wholeNear(value: number): number | undefined {
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-6 ? whole : undefined;
}

/** Collects what lies between two bar lines. */
class OpenMeasure {
  position = 0;
  chord: string | undefined;
  readonly chords: ChordChange[] = [];
  where: TextPlace | undefined;
  told: Told | undefined;
  readonly notes: MelodyNote[] = [];

  constructor(private readonly findings: Findings) {}

  /** A note or a rest. @param held the pitch that a tie carries in from the note before */
  add(sound: Extract<Sounded, { kind: 'note' }>, held: Midi | undefined): void {
    this.where ??= sound.where;
    const at = Math.round(this.position);
    this.position += sound.ticks;
    const length = Math.round(this.position) - at;
    if (wholeNear(this.position) === undefined)
      leaveOut(
        this.findings,
        'Notes were moved by less than a tick (1/480 of a quarter) to fall on whole ones',
      );
    if (length < 1) {
      const words = 'This note is too short to play. The shortest is a tick, 1/480 of a quarter.';
      this.findings.problems.push({ code: 'note-too-short', where: sound.where, words });
    }
    if (sound.midi === undefined) return;
    const last = this.notes.at(-1);
    if (held !== sound.midi) this.notes.push({ at, length, midi: sound.midi });
    else if (last) this.notes.splice(-1, 1, { ...last, length: last.length + length });
    else this.notes.push({ at, length, midi: sound.midi, tied: true });
  }
}

/** More measures than any tune has; a board would not be readable. */
const MAX_MEASURES = 500;

/** Takes the row apart at its bar lines. Bar lines with nothing between them count as one. */
class MeasureRow {
  readonly measures: TextMeasure[] = [];
  private open: OpenMeasure;
  private before: BarLine = PLAIN;
  private signs = '';
  private marks: Pick<BarLine, 'endings' | 'part'> = {};
  private held: Midi | undefined;
  private chord: string | undefined;
  private told: Told | undefined;

  constructor(
    private readonly meter: Meter,
    private readonly findings: Findings,
  ) {
    this.open = new OpenMeasure(findings);
  }

  private lineBetween(): BarLine {
    return { ...barLineFrom(this.signs), ...this.marks };
  }

  /** Gives the measure before its last bar line, now that all of it is read. */
  private endBarLine(line: BarLine): void {
    const last = this.measures.at(-1);
    if (last) this.measures.splice(-1, 1, { ...last, after: line });
  }

  private begin(): void {
    if (this.open.position > 0) return;
    this.before = this.lineBetween();
    this.endBarLine(this.before);
    this.open.chord = this.chord;
    this.chord = undefined;
    this.open.told = this.told;
  }

  private close(): void {
    const { where, notes, chord, position, told } = this.open;
    if (where === undefined || position === 0) return;
    const ticks = Math.round(position);
    const chords = this.open.chords.filter(({ at }) => at < ticks);
    if (chords.length < this.open.chords.length)
      leaveOut(this.findings, 'A chord after the last note of its measure was left out');
    this.measures.push({
      number: this.measures.length + 1,
      where,
      ticks,
      notes,
      ...(chord === undefined ? {} : { chord }),
      ...(chords.length === 0 ? {} : { chords }),
      ...(told === undefined ? {} : { told }),
      before: this.before,
      after: PLAIN,
    });
    this.open = new OpenMeasure(this.findings);
    this.signs = '';
    this.marks = {};
  }

  private nameChord(name: string): void {
    const { chord, chords, position } = this.open;
    if (position === 0) {
      this.chord = name;
      return;
    }
    const at = Math.round(position);
    const before = chords.at(-1);
    if ((before?.symbol ?? chord) === name) return;
    if (before?.at === at) chords.pop();
    if (chords.length < MAX_CHORDS) chords.push({ at, symbol: name });
    else leaveOut(this.findings, `Of the chords in a measure the first ${MAX_CHORDS} were taken`);
  }

  private restMeasures(count: number, where: TextPlace): void {
    for (let n = 0; n < Math.min(count, MAX_MEASURES + 1); n++) {
      this.close();
      this.begin();
      const ticks = this.told?.ticks ?? this.meter.measure;
      this.open.add({ kind: 'note', ticks, tie: false, where }, undefined);
    }
    this.held = undefined;
  }

  take(item: Sounded): void {
    if (item.kind === 'chord') {
      this.nameChord(item.name);
    } else if (item.kind === 'meter') {
      this.told = item.told;
    } else if (item.kind === 'measures-rest') {
      this.restMeasures(item.count, item.where);
    } else if (item.kind === 'note') {
      this.begin();
      this.open.add(item, this.held);
      this.held = item.tie ? item.midi : undefined;
    } else {
      this.close();
      if (item.kind === 'part') this.marks = { ...this.marks, part: item.name };
      else this.signs += item.signs;
      if (item.kind === 'bar' && item.endings && item.endings.length > 0)
        this.marks = { ...this.marks, endings: item.endings };
    }
  }

  end(): readonly TextMeasure[] {
    this.close();
    this.endBarLine(this.lineBetween());
    return this.measures;
  }
}

/** All measures in the order of the text; more than a tune has are a problem, and the rest is not read. */
export function measuresFrom(
  sounded: readonly Sounded[],
  meter: Meter,
  findings: Findings,
): readonly TextMeasure[] {
  const row = new MeasureRow(meter, findings);
  for (const item of sounded) {
    row.take(item);
    const extra = row.measures[MAX_MEASURES];
    if (!extra) continue;
    const words = `The tune has more than ${MAX_MEASURES} measures. Paste a shorter one.`;
    findings.problems.push({ code: 'too-many-measures', where: extra.where, words });
    break;
  }
  return row.end();
}
