import type { Melody, MelodyMeasure } from '../melody';
import type { Meter } from '../rhythm';
import { groupAt, handAt, slotAt } from '../rhythm';
import type { Midi, Ticks } from '../units';

/** A place in a measure where a note may be played. */
export interface Spot {
  /** Ticks from the start of the measure. */
  readonly at: Ticks;
  /** Where the hand moves here; 'between' its motions only the fretting hand can sound a note. */
  readonly hand: 'down' | 'up' | 'between';
  /** Not where the tune has the note. */
  readonly moved: boolean;
}

/** A struck note of the melody, with the spots where it might be played, its own first. */
export interface Moment {
  /** Index of its measure, over all parts. */
  readonly measure: number;
  /** Where its measure begins in its bar. */
  readonly startsAt: Ticks;
  readonly at: Ticks;
  readonly length: Ticks;
  readonly midi: Midi;
  /** None where its bum-ditty is too dense and only the skeleton stays. */
  readonly spots: readonly Spot[];
}

/** The hand in a measure at some ticks from its start. */
function handIn(meter: Meter, measure: MelodyMeasure, at: Ticks): Spot['hand'] {
  const slot = slotAt(meter, measure.startsAt + at);
  return slot === undefined ? 'between' : handAt(meter, slot);
}

/** The slots just before and after, as ticks from the start of the measure, if they lie in it. */
function neighbours(meter: Meter, measure: MelodyMeasure, at: Ticks): readonly Ticks[] {
  const inBar = measure.startsAt + at;
  const before = (Math.ceil(inBar / meter.slot) - 1) * meter.slot - measure.startsAt;
  const after = (Math.floor(inBar / meter.slot) + 1) * meter.slot - measure.startsAt;
  return [before, after].filter((ticks) => ticks >= 0 && ticks < measure.ticks);
}

function spotsOf(meter: Meter, measure: MelodyMeasure, at: Ticks): readonly Spot[] {
  const own: Spot = { at, hand: handIn(meter, measure, at), moved: false };
  if (own.hand === 'down') return [own];
  const taken = new Set(measure.notes.map((note) => note.at));
  const free = neighbours(meter, measure, at).filter((ticks) => !taken.has(ticks));
  return [
    own,
    ...free.map((ticks) => ({ at: ticks, hand: handIn(meter, measure, ticks), moved: true })),
  ];
}

/** All measures of a melody in the order of its parts. */
export function measuresOf(melody: Melody): readonly MelodyMeasure[] {
  return melody.parts.flatMap((part) => part.measures);
}

/**
 * Notes that a bum-ditty takes beside one in each of its slots: room for a triplet in either half. Source: our estimate: two notes a slot
 * all along are faster than the hands of those who read basic tab.
 */
const EXTRA_NOTES = 2;

/**
 * Where the notes begin that do not belong to the skeleton of a measure. A bum-ditty with more notes than it has slots and two more is too
 * dense: of its notes those on slots stay, and what falls between them goes.
 */
function beyondSkeleton(meter: Meter, measure: MelodyMeasure): ReadonlySet<Ticks> {
  const groups = new Map<number, Ticks[]>();
  const limits = new Map<number, number>();
  for (const { at, tied } of measure.notes) {
    if (tied) continue;
    const slot = Math.floor((measure.startsAt + at) / meter.slot);
    const { index, slots } = groupAt(meter, slot);
    groups.set(index, [...(groups.get(index) ?? []), at]);
    limits.set(index, slots + EXTRA_NOTES);
  }
  const dense = [...groups].filter(([index, places]) => places.length > (limits.get(index) ?? 0));
  const between = (at: Ticks) => slotAt(meter, measure.startsAt + at) === undefined;
  return new Set(dense.flatMap(([, places]) => places.filter(between)));
}

/** All notes that are struck (not tied over), in the order of the parts. */
export function momentsOf(melody: Melody): readonly Moment[] {
  return measuresOf(melody).flatMap((measure, index) => {
    const beyond = beyondSkeleton(melody.meter, measure);
    return measure.notes
      .filter((note) => note.tied !== true)
      .map(({ at, length, midi }) => ({
        measure: index,
        startsAt: measure.startsAt,
        at,
        length,
        midi,
        spots: beyond.has(at) ? [] : spotsOf(melody.meter, measure, at),
      }));
  });
}
