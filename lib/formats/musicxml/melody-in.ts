import type { MelodyNote } from '../../melody';
import type { Midi } from '../../units';
import type { ScoreNote } from './notes';
import type { XmlFindings } from './problem';
import { leaveOut } from './score';
import type { WalkedPart } from './walk';

interface Choice {
  readonly staff: number;
  readonly voice: string;
}

/** The first voice with notes on the first staff that has some, unless a voice is named. */
export function chosenVoice(
  part: WalkedPart,
  wanted: string | undefined,
  findings: XmlFindings,
): Choice | undefined {
  const pitched = part.measures
    .flatMap(({ notes }) => notes)
    .filter(({ midi, voice }) => midi !== undefined && (wanted === undefined || voice === wanted));
  const staff = pitched.reduce((first, note) => Math.min(first, note.staff), Infinity);
  const voices = [...new Set(pitched.filter((n) => n.staff === staff).map((n) => n.voice))].sort(
    (a, b) => Number(a) - Number(b) || (a < b ? -1 : 1),
  );
  const [voice] = voices;
  if (voice === undefined) return undefined;
  const others = new Set(pitched.map((note) => `${note.staff} ${note.voice}`)).size - 1;
  if (others > 0 && wanted === undefined)
    leaveOut(findings, 'The part has several voices and the first one was taken');
  return { staff, voice };
}

/** Holds what a tie carries from measure to measure. */
export class MelodyLine {
  private held: Midi | undefined;

  constructor(
    private readonly choice: Choice,
    private readonly findings: XmlFindings,
  ) {}

  /** The melody in one measure: of notes that begin together the highest, each until it ends or the next begins. */
  notes(all: readonly ScoreNote[]): readonly MelodyNote[] {
    const { staff, voice } = this.choice;
    const own = all.filter((note) => note.staff === staff && note.voice === voice);
    const made: MelodyNote[] = [];
    let reached = 0;
    for (const note of this.highest(own)) {
      const { at, length, midi = 0 } = note;
      const before = made.at(-1);
      const follows = before && before.at + before.length === at && before.midi === midi;
      const carried = at === 0 && this.held === midi;
      if (note.tiedFrom && follows)
        made[made.length - 1] = { ...before, length: before.length + length };
      else {
        if (before && at < reached) made[made.length - 1] = { ...before, length: at - before.at };
        made.push({ at, length, midi, ...(note.tiedFrom && carried ? { tied: true } : {}) });
      }
      reached = at + length;
    }
    this.held = made.at(-1)?.midi;
    return made;
  }

  private highest(notes: readonly ScoreNote[]): readonly ScoreNote[] {
    const byStart = new Map<number, ScoreNote>();
    for (const note of notes) {
      if (note.midi === undefined) continue;
      const there = byStart.get(note.at);
      if (there) leaveOut(this.findings, 'Of notes that sound together the highest was taken');
      if (!there || (there.midi ?? 0) < note.midi) byStart.set(note.at, note);
    }
    return [...byStart.values()].sort((a, b) => a.at - b.at);
  }
}
