import type { Ticks } from '../../units';
import { chunk, meta, quantityBytes } from './bytes';

/** Something that happens at a time; what happens at the same time goes in the order of `order`, then as given. */
export interface TrackEvent {
  readonly at: Ticks;
  /** Notes end (0) before anything else (1) and before others begin (2). */
  readonly order: 0 | 1 | 2;
  readonly bytes: readonly number[];
}

export interface SoundingNote {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly midi: number;
  /** 1 to 127. */
  readonly velocity: number;
}

export function noteEvents(notes: readonly SoundingNote[], channel: number): readonly TrackEvent[] {
  return notes.flatMap(({ at, length, midi, velocity }): readonly TrackEvent[] => [
    { at, order: 2, bytes: [0x90 | channel, midi, velocity] },
    { at: at + length, order: 0, bytes: [0x80 | channel, midi, 0x40] },
  ]);
}

/** A whole track chunk that ends at `end`. */
export function trackBytes(events: readonly TrackEvent[], end: Ticks): readonly number[] {
  const ordered = events.toSorted((a, b) => a.at - b.at || a.order - b.order);
  const data: number[] = [];
  let reached: Ticks = 0;
  for (const { at, bytes } of [...ordered, { at: end, bytes: meta(0x2f, []) }]) {
    data.push(...quantityBytes(Math.max(0, at - reached)), ...bytes);
    reached = Math.max(reached, at);
  }
  return chunk('MTrk', data);
}
