import type { MelodyNote } from '../../melody';
import type { Meter } from '../../rhythm';
import type { Ticks } from '../../units';
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
  readonly before: BarLine;
  readonly after: BarLine;
}

const PLAIN: BarLine = { ends: 0, starts: false, double: false };

/**
 * `::` is `:||:`; `|::` and `::|` stand for one time more.
 * Source: ABC 2.1, sections 4.8 and 4.9.
 */
export function barLineFrom(signs: string): Pick<BarLine, 'ends' | 'starts' | 'double'> {
  if (/^:+$/.test(signs)) return { ends: signs.length - 1, starts: true, double: true };
  const ends = /^:*/.exec(signs)?.[0].length ?? 0;
  const starts = /:$/.test(signs.slice(ends));
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
  where: TextPlace | undefined;
  readonly notes: MelodyNote[] = [];

  constructor(private readonly findings: Findings) {}

  /** A note or a rest. @param held the pitch that a tie carries in from the note before */
  add(sound: Extract<Sounded, { kind: 'note' }>, held: number | undefined): void {
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

/** All measures in the order of the text; bar lines with nothing between them count as one. */
export function measuresFrom(
  sounded: readonly Sounded[],
  meter: Meter,
  findings: Findings,
): readonly TextMeasure[] {
  const measures: TextMeasure[] = [];
  let open = new OpenMeasure(findings);
  let before: BarLine = PLAIN;
  let pendingSigns = '';
  let pending: Pick<BarLine, 'endings' | 'part'> = {};
  let held: number | undefined;
  let chord: string | undefined;
  const lineBetween = (): BarLine => ({ ...barLineFrom(pendingSigns), ...pending });
  const close = () => {
    if (open.position === 0) return;
    const { where = { line: 1, column: 1 }, notes } = open;
    const ticks = Math.round(open.position);
    const number = measures.length + 1;
    measures.push({
      number,
      where,
      ticks,
      notes,
      ...(open.chord === undefined ? {} : { chord: open.chord }),
      before,
      after: PLAIN,
    });
    open = new OpenMeasure(findings);
    pendingSigns = '';
    pending = {};
  };
  const begin = () => {
    if (open.position > 0) return;
    before = lineBetween();
    const last = measures.at(-1);
    if (last) measures.splice(-1, 1, { ...last, after: before });
    open.chord = chord;
    chord = undefined;
  };
  for (const item of sounded) {
    if (item.kind === 'bar') {
      close();
      pendingSigns += item.signs;
      if (item.endings) pending = { ...pending, endings: item.endings };
    } else if (item.kind === 'part') {
      close();
      pending = { ...pending, part: item.name };
    } else if (item.kind === 'chord') {
      if (open.position === 0) chord = item.name;
      else if (open.chord === undefined) open.chord = item.name;
      else if (open.chord !== item.name)
        leaveOut(findings, 'Of several chords in a measure the first was taken');
    } else if (item.kind === 'measures-rest') {
      for (let n = 0; n < item.count; n++) {
        close();
        begin();
        open.where = item.where;
        open.position = meter.measure;
      }
      held = undefined;
    } else {
      begin();
      open.add(item, held);
      held = item.tie ? item.midi : undefined;
    }
  }
  close();
  const last = measures.at(-1);
  if (last) measures.splice(-1, 1, { ...last, after: lineBetween() });
  return measures;
}
