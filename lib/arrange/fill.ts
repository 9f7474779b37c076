import type { Key } from '../harmony';
import type { MelodyMeasure } from '../melody';
import type { Meter } from '../rhythm';
import { groupAt } from '../rhythm';
import type { By, Note, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';
import type { StringNumber, Ticks } from '../units';
import { brushOver } from './brush';
import type { Played } from './path';

/** What the bum-ditty asks for in a slot. */
type Role = 'bum' | 'ring' | 'brush' | 'thumb';

/** Roles of a bum-ditty by its number of slots. Source: common practice, no source. */
const ROLES: Readonly<Record<number, readonly Role[]>> = {
  4: ['bum', 'ring', 'brush', 'thumb'],
  3: ['bum', 'brush', 'thumb'],
  2: ['brush', 'thumb'],
};

interface Onset {
  readonly at: Ticks;
  readonly by: By;
  readonly notes: readonly Note[];
}

export interface FillSetting {
  readonly meter: Meter;
  readonly key: Key;
  readonly neck: Neck;
}

/** The chord that holds at a moment of the measure, if one is known. */
type ChordAt = (at: Ticks) => string | undefined;

function roleAt(meter: Meter, slot: number): Role {
  const { first, slots } = groupAt(meter, slot);
  return ROLES[slots]?.[slot - first] ?? 'ring';
}

/** Is the melody's last note before `at` still sounding there? */
function ringsAt(last: Played | undefined, at: Ticks): boolean {
  return last !== undefined && last.moment.at + last.moment.length > at;
}

/**
 * What fills a slot that has no melody note: nothing where the note before simply rings. Before a hammer or a pull only a brush that sounds
 * their string again.
 */
function fillerAt(
  setting: FillSetting,
  measure: MelodyMeasure,
  chordAt: ChordAt,
  at: Ticks,
  melody: readonly Played[],
): Onset | undefined {
  const { meter, neck, key } = setting;
  const last = melody.findLast((played) => played.at < at);
  const next = melody.find((played) => played.at > at);
  const isHeld = next?.by === 'hammer' || next?.by === 'pull';
  const note = last && { string: last.string, fret: last.fret };
  const role = roleAt(meter, (measure.startsAt + at) / meter.slot);
  if (role === 'ring') return undefined;
  if (isHeld && role !== 'brush') return undefined;
  if (role === 'thumb') return { at, by: 'thumb', notes: [{ string: 5, fret: 0 }] };
  if (at === 0 && measure.notes.some((held) => held.tied === true)) return undefined;
  if (role === 'bum' && note && note.string !== 5 && ringsAt(last, at))
    return { at, by: 'strike', notes: [note] };
  const thumbNext = next?.by === 'thumb' && next.at - at <= meter.slot ? next.string : undefined;
  const below: StringNumber = thumbNext ?? 5;
  const notes = brushOver(neck, key, chordAt(at), note?.string === 5 ? undefined : note, below);
  const soundsAgain = notes?.some(({ string }) => string === note?.string) === true;
  return notes && (soundsAgain || !isHeld) ? { at, by: 'brush', notes } : undefined;
}

/**
 * The strokes of a measure: the melody as it is played, and the bum-ditty around it. A long note is struck, brushed and
 * thumbed; where it lasts into the next bum-ditty it is struck again; a note tied over the bar line is left
 * to ring there and brushed. Where nothing is played at the start of a measure stands a rest.
 */
export function filledMeasure(
  setting: FillSetting,
  measure: MelodyMeasure,
  chordAt: ChordAt,
  melody: readonly Played[],
): readonly Stroke[] {
  const { meter } = setting;
  const onsets: Onset[] = melody.map(({ at, by, string, fret }) => ({
    at,
    by,
    notes: [{ string, fret }],
  }));
  const firstSlot = Math.ceil(measure.startsAt / meter.slot) * meter.slot - measure.startsAt;
  for (let at = firstSlot; at < measure.ticks; at += meter.slot) {
    if (melody.some((played) => played.at === at)) continue;
    const filler = fillerAt(setting, measure, chordAt, at, melody);
    if (filler) onsets.push(filler);
  }
  if (!onsets.some((onset) => onset.at === 0)) onsets.push({ at: 0, by: 'rest', notes: [] });
  onsets.sort((a, b) => a.at - b.at);
  return onsets.map((onset, i) => {
    const end = onsets[i + 1]?.at ?? measure.ticks;
    return { at: onset.at, length: end - onset.at, by: onset.by, notes: onset.notes };
  });
}
