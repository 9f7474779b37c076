import type { Meter } from '../../rhythm';
import { handAt, slotAt } from '../../rhythm';
import type { By, Note, Stroke } from '../../tab/measure';
import type { Neck } from '../../tuning';
import { hasFret, openMidi, placesOf } from '../../tuning';
import type { StringNumber, Ticks } from '../../units';
import { isStringNumber } from '../../units';
import type { ScoreNote } from './notes';
import type { XmlFindings } from './problem';
import { leaveOut } from './score';
import type { WalkedPart } from './walk';

/** Notes of a staff that stand on a string and fret of a five-string. */
export interface TabStaff {
  readonly staff: number;
  readonly notes: readonly ScoreNote[];
}

function isPlaced({ string, fret }: ScoreNote): boolean {
  return isStringNumber(string) && fret !== undefined;
}

/** The staff that is tab for a five-string, or undefined. */
export function tabStaffOf({ measures, tabs }: WalkedPart): TabStaff | undefined {
  const notes = measures
    .flatMap((measure) => measure.notes)
    .filter(({ midi }) => midi !== undefined);
  const staves = [...new Set([...tabs.keys(), ...notes.map(({ staff }) => staff)])];
  for (const staff of staves) {
    const own = notes.filter((note) => note.staff === staff);
    const { lines = 5 } = tabs.get(staff) ?? {};
    const isTab =
      lines === 5 && own.length > 0 && own.filter(isPlaced).length * 10 >= own.length * 9;
    if (isTab) return { staff, notes: own };
  }
  return undefined;
}

/**
 * The fret as the board counts it. The drone's is found by its pitch, since some count it from its own nut and some from the main one.
 */
function fretOf({ string, fret = 0, midi }: ScoreNote, neck: Neck): number {
  if (string !== 5) return fret;
  const open = openMidi(neck, 5);
  const sounding = midi === undefined || midi - open > fret || midi < open ? open + fret : midi;
  return placesOf(neck, sounding).find((place) => place.string === 5)?.fret ?? fret;
}

/** Reads the strokes of a tab staff, measure by measure. */
export class TabLine {
  /** Does the file say anywhere what the thumb plays? */
  private readonly thumbIsTold: boolean;

  constructor(
    private readonly tab: TabStaff,
    private readonly neck: Neck,
    private readonly meter: Meter,
    isOurs: boolean,
    private readonly findings: XmlFindings,
  ) {
    this.thumbIsTold = isOurs || tab.notes.some(({ told }) => told);
    if (!this.thumbIsTold)
      leaveOut(
        findings,
        'The tab does not say what the thumb plays, so it was given the drone and what falls where the hand comes up',
      );
  }

  /** Strokes that fill the measure; where nothing is struck, it rests. @param startsAt where in its bar it begins */
  strokes(all: readonly ScoreNote[], ticks: Ticks, startsAt: Ticks): readonly Stroke[] {
    const own = all.filter(({ staff, midi }) => staff === this.tab.staff && midi !== undefined);
    const starts = [...new Set(own.map(({ at }) => at))].filter((at) => at < ticks);
    const strokes: Stroke[] = [];
    let reached: Ticks = 0;
    for (const [i, at] of starts.entries()) {
      const here = own.filter((note) => note.at === at);
      const end = Math.min(
        here.reduce((latest, { length }) => Math.max(latest, at + length), at),
        starts[i + 1] ?? ticks,
      );
      const struck = here.filter((note) => !note.tiedFrom);
      const before = strokes.at(-1);
      if (struck.length === 0 && before && before.at + before.length === at)
        strokes[strokes.length - 1] = { ...before, length: end - before.at };
      else if (struck.length > 0) {
        if (at > reached) strokes.push(restOf(reached, at));
        strokes.push(this.stroke(struck, at, end - at, startsAt));
      } else strokes.push(restOf(reached, end));
      reached = end;
    }
    if (reached < ticks) strokes.push(restOf(reached, ticks));
    return strokes;
  }

  private stroke(here: readonly ScoreNote[], at: Ticks, length: Ticks, startsAt: Ticks): Stroke {
    const notes: Note[] = [];
    for (const note of here) {
      const { string } = note;
      if (!isStringNumber(string) || notes.some((one) => one.string === string)) {
        leaveOut(this.findings, 'Notes without a string of their own were left out');
        continue;
      }
      const fret = fretOf(note, this.neck);
      notes.push({ string, fret: this.fitting(string, fret) });
    }
    if (notes.length === 0) return restOf(at, at + length);
    notes.sort((a, b) => a.string - b.string);
    return { at, length, by: this.byOf(here, notes, startsAt + at), notes };
  }

  private fitting(string: StringNumber, fret: number): number {
    if (hasFret(this.neck, string, fret)) return fret;
    leaveOut(this.findings, 'Frets that this neck does not have were played open');
    return 0;
  }

  /** Who sounds it: as the file says, else a brush for several strings and the hand's own way for one. */
  private byOf(here: readonly ScoreNote[], notes: readonly Note[], inBar: Ticks): By {
    const [first] = here;
    const all = first?.by !== undefined && here.every((one) => one.by === first.by);
    if (all && first?.by !== undefined) return first.by;
    if (here.some((one) => one.by !== undefined))
      leaveOut(this.findings, 'Hammers, pulls and slides on some strings of a brush were left out');
    if (here.every(({ chop }) => chop)) return 'chop';
    if (notes.length > 1 || first?.arpeggio) return 'brush';
    if (first?.thumb) return 'thumb';
    return this.thumbIsTold ? 'strike' : this.usual(notes, inBar);
  }

  private usual([note]: readonly Note[], inBar: Ticks): By {
    const slot = slotAt(this.meter, inBar);
    const up = slot !== undefined && handAt(this.meter, slot) === 'up';
    return note?.string === 5 || (up && note?.string !== 1) ? 'thumb' : 'strike';
  }
}

function restOf(at: Ticks, end: Ticks): Stroke {
  return { at, length: end - at, by: 'rest', notes: [] };
}
