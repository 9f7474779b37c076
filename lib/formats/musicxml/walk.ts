import type { Key } from '../../harmony';
import type { Meter } from '../../rhythm';
import { isMeterName } from '../../rhythm';
import type { ChordChange } from '../../tune';
import { MAX_CHORDS } from '../../tune';
import type { Semitones, Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import type { Told } from '../other-meter';
import { meterAmong, meterStays, otherMeter } from '../other-meter';
import { keyFromSignature } from '../spelling';
import type { ScoreNote } from './notes';
import { noteFrom } from './notes';
import type { MusicXmlProblem, XmlFindings, XmlPlace } from './problem';
import type { ScoreMeasure, ScorePart } from './score';
import { leaveOut } from './score';
import type { MeasureSigns } from './signs';
import { chordFrom, meterTextIn, modeFrom, signsIn } from './signs';
import type { StaffTuning } from './staff-tuning';
import { staffTuningIn } from './staff-tuning';
import type { XmlElement } from './xml';
import { childOf, childrenOf, numberAt, textAt } from './xml';

/** A measure of the chosen part, in ticks. */
export interface WalkedMeasure {
  /** Counts from 1. */
  readonly number: number;
  readonly where: XmlPlace;
  /** What is in it; 0 where nothing is. */
  readonly ticks: Ticks;
  readonly notes: readonly ScoreNote[];
  /** It has no number of its own: a pickup, or the rest of a bar. */
  readonly implicit: boolean;
  /** Ascending; the first may be at 0. */
  readonly chords: readonly ChordChange[];
  readonly signs: MeasureSigns;
  /** The length that a meter of its own tells, where that is not the part's. */
  readonly told?: Told;
}

export interface WalkedPart {
  readonly measures: readonly WalkedMeasure[];
  readonly meter?: Meter;
  readonly key?: Key;
  /** Staves by number that are tab, with what is said of their strings. */
  readonly tabs: ReadonlyMap<number, StaffTuning>;
}

/** More measures than any tune has. */
const MAX_MEASURES = 500;
/** Longest that a measure may reach, in ticks: what a meter cannot fill is a problem that is told elsewhere. */
const MAX_TICKS: Ticks = 100 * TICKS_PER_QUARTER;

function meterIn(part: ScorePart): Meter | undefined {
  const attributes = part.measures.flatMap(({ contents }) =>
    contents.filter(({ name }) => name === 'attributes'),
  );
  return meterAmong(attributes.flatMap((one) => childrenOf(one, 'time').map(meterTextIn)));
}

/** Goes through a part's measures, keeping what holds on: divisions, meter, key, transposition. */
export class Walk {
  private divisions: number | undefined;
  private meter: Meter | undefined;
  private key: Key | undefined;
  private shift: Semitones = 0;
  private readonly tabs = new Map<number, StaffTuning>();
  private readonly measures: WalkedMeasure[] = [];
  private cursor = 0;
  private reached = 0;
  /** Where the note before began, for those that sound with it. */
  private began = 0;
  private notes: ScoreNote[] = [];
  private chords: ChordChange[] = [];
  /** Another meter than the part's, from here on. */
  private away: { readonly told: Told; readonly where: XmlPlace } | undefined;
  private told: Told | undefined;

  constructor(private readonly findings: XmlFindings) {}

  part(part: ScorePart): WalkedPart {
    this.meter = meterIn(part);
    for (const measure of part.measures.slice(0, MAX_MEASURES)) this.measure(measure);
    const extra = part.measures[MAX_MEASURES];
    if (extra) {
      const words = `The part has more than ${MAX_MEASURES} measures. Take a shorter one.`;
      this.refuse('too-many-measures', words, extra.element.where);
    }
    if (this.away && this.meter)
      this.refuse('meter-change', meterStays(this.away.told.name, this.meter), this.away.where);
    return {
      measures: this.measures,
      ...(this.meter ? { meter: this.meter } : {}),
      ...(this.key ? { key: this.key } : {}),
      tabs: this.tabs,
    };
  }

  private refuse(code: MusicXmlProblem['code'], words: string, where: XmlPlace): void {
    this.findings.problems.push({ code, where, words });
  }

  private measure({ element, contents }: ScoreMeasure): void {
    [this.cursor, this.reached, this.began, this.notes] = [0, 0, 0, []];
    this.chords = [];
    this.told = this.away?.told;
    for (const one of contents) this.take(one);
    const signs = signsIn(contents);
    if (signs.jumps)
      leaveOut(this.findings, 'Jumps in the score (D.C., D.S., coda, fine) were left out');
    this.measures.push({
      number: this.measures.length + 1,
      where: element.where,
      implicit: element.attributes.get('implicit') === 'yes',
      ticks: Math.round(this.reached),
      notes: this.notes.toSorted((a, b) => a.at - b.at),
      chords: this.chordsIn(Math.round(this.reached)),
      signs,
      ...(this.told === undefined ? {} : { told: this.told }),
    });
  }

  /** Chords in the order of time, each where it changes; of several at one time the first. */
  private chordsIn(ticks: Ticks): readonly ChordChange[] {
    const made: ChordChange[] = [];
    for (const change of this.chords.toSorted((a, b) => a.at - b.at)) {
      const before = made.at(-1);
      if (change.at >= Math.max(1, ticks) || before?.at === change.at) continue;
      if (before?.symbol !== change.symbol) made.push(change);
    }
    if (made.length > MAX_CHORDS)
      leaveOut(this.findings, `Of the chords in a measure the first ${MAX_CHORDS} were taken`);
    return made.slice(0, MAX_CHORDS);
  }

  private harmony(element: XmlElement): void {
    const symbol = chordFrom(element);
    if (symbol === undefined) return;
    const offset = ((numberAt(element, 'offset') ?? 0) * TICKS_PER_QUARTER) / (this.divisions ?? 1);
    const at = Math.round(this.cursor + offset);
    if (Number.isFinite(at)) this.chords.push({ at: Math.max(0, at), symbol });
  }

  private take(element: XmlElement): void {
    if (element.name === 'attributes') this.attributes(element);
    else if (element.name === 'note') this.note(element);
    else if (element.name === 'harmony') this.harmony(element);
    else if (element.name === 'backup') this.moveBy(-this.durationOf(element), element);
    else if (element.name === 'forward') this.moveBy(this.durationOf(element), element);
  }

  private moveBy(ticks: number, element: XmlElement): void {
    this.cursor += ticks;
    this.reached = Math.max(this.reached, this.cursor);
    const inside = this.cursor > -1 && this.cursor <= MAX_TICKS;
    if (inside) return;
    const words = 'The music leaves its measure here: a duration or a backup is too long.';
    this.refuse('bad-number', words, element.where);
    this.cursor = 0;
  }

  /** Ticks of an element's duration; 0, and a problem, where it has none that can be read. */
  private durationOf(element: XmlElement): number {
    const duration = numberAt(element, 'duration');
    if (duration === undefined || duration < 0 || (duration === 0 && element.name === 'note')) {
      const text = textAt(element, 'duration');
      const words = `This <${element.name}> has no readable duration${text ? `: "${text.slice(0, 20)}"` : ''}.`;
      this.refuse('bad-number', words, element.where);
      return 0;
    }
    if (this.divisions === undefined) {
      const words =
        'The score does not say how long a duration is: <divisions> is missing before it.';
      if (!this.findings.problems.some(({ code }) => code === 'no-divisions'))
        this.refuse('no-divisions', words, element.where);
      return 0;
    }
    return (duration * TICKS_PER_QUARTER) / this.divisions;
  }

  private note(element: XmlElement): void {
    if (childOf(element, 'grace')) {
      leaveOut(this.findings, 'Grace notes were left out');
      return;
    }
    const ticks = this.durationOf(element);
    const joins = childOf(element, 'chord') !== undefined;
    if (!joins) this.began = this.cursor;
    const at = Math.round(this.began);
    const end = Math.round(this.began + ticks);
    if (Math.abs(this.began + ticks - end) > 1e-6)
      leaveOut(
        this.findings,
        'Notes were moved by less than a tick (1/480 of a quarter) to fall on whole ones',
      );
    if (!joins) this.moveBy(ticks, element);
    if (childOf(element, 'cue')) leaveOut(this.findings, 'Cue notes were left out');
    else if (childOf(element, 'unpitched'))
      leaveOut(this.findings, 'Notes without a pitch were left out');
    else if (end > at) this.notes.push(noteFrom(element, at, end - at, this.shift));
  }

  private attributes(element: XmlElement): void {
    const divisions = numberAt(element, 'divisions');
    if (divisions !== undefined && divisions > 0) this.divisions = divisions;
    else if (childOf(element, 'divisions'))
      this.refuse('bad-number', 'These divisions are no number above 0.', element.where);
    for (const time of childrenOf(element, 'time')) this.time(time);
    for (const transpose of childrenOf(element, 'transpose').slice(0, 1))
      this.shift =
        (numberAt(transpose, 'chromatic') ?? 0) + 12 * (numberAt(transpose, 'octave-change') ?? 0);
    for (const key of childrenOf(element, 'key').slice(0, 1)) this.keyFrom(key);
    for (const clef of childrenOf(element, 'clef'))
      if (textAt(clef, 'sign') === 'TAB') this.tab(clef, {});
    for (const details of childrenOf(element, 'staff-details'))
      this.tab(details, staffTuningIn(details));
  }

  private tab(element: XmlElement, tuning: StaffTuning): void {
    const staff = Number(element.attributes.get('number') ?? 1);
    const isTab = element.name === 'clef' || tuning.open !== undefined || this.tabs.has(staff);
    if (isTab) this.tabs.set(staff, { ...this.tabs.get(staff), ...tuning });
  }

  private time(time: XmlElement): void {
    const text = meterTextIn(time);
    if (this.meter) this.changeTime(text, this.meter, time.where);
    else if (!isMeterName(text)) {
      const words = `"${text.slice(0, 20)}" is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.`;
      this.refuse('unknown-meter', words, time.where);
    }
  }

  /** The part's own meter, or one of shorter measures, from this one on where nothing of it is played yet. */
  private changeTime(text: string, meter: Meter, where: XmlPlace): void {
    const told = text === meter.name ? undefined : otherMeter(text, meter);
    if (typeof told === 'string') {
      this.refuse('meter-change', told, where);
      return;
    }
    this.away = told && { told, where };
    if (this.reached === 0) this.told = told;
  }

  private keyFrom(element: XmlElement): void {
    const fifths = numberAt(element, 'fifths');
    const mode = modeFrom(textAt(element, 'mode'));
    if (fifths === undefined || !Number.isInteger(fifths) || Math.abs(fifths) > 7) {
      leaveOut(this.findings, 'A key that is no usual signature was left out');
      return;
    }
    const sounding = fifthsMovedBy(fifths, this.shift);
    const key = keyFromSignature(sounding, mode ?? 'major');
    if (!this.key && mode === undefined)
      leaveOut(
        this.findings,
        `The score does not say whether its key is major or minor: ${key.tonic} major was taken`,
      );
    if (this.key && (this.key.tonic !== key.tonic || this.key.mode !== key.mode))
      leaveOut(
        this.findings,
        'The key changes inside the tune; the board names the first key only',
      );
    this.key ??= key;
  }
}

/** A signature moved by semitones, with as few signs as may be. */
function fifthsMovedBy(fifths: number, semitones: Semitones): number {
  const moved = fifths + ((((semitones * 7) % 12) + 12) % 12);
  return moved > 6 && semitones % 12 !== 0 ? moved - 12 : moved;
}
