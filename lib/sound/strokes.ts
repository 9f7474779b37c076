import { hzFromMidi } from '../pitch';
import type { Note, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret, midiAt, openMidi } from '../tuning';
import type { Fret, StringNumber } from '../units';
import { assertNever } from '../units';
import type { Seconds, SoundEvent } from './event';

/** How hard each kind of stroke sounds a string, 0 to 1. Common practice, no source. */
const LEVELS = {
  strike: 0.85,
  brush: 0.5,
  thumb: 0.75,
  hammer: 0.55,
  pull: 0.5,
  pluck: 0.5,
  chop: 0.5,
} as const;
/** Where the open string is touched, as a part of its length from the bridge. Common practice, no source. */
const PICKING_PLACE = 0.13;
/** A finger that pulls off touches the string by the fret: the most that a part of the sounding length can be. */
const PULLING_PLACE = 0.42;
/** A brush passes from one string to the next in this time, or in a part of its length when it is quick. Common practice, no source. */
const BRUSH_STEP: Seconds = 0.009;
const BRUSH_SHARE = 1 / 4;
/** A sliding finger takes this long to the next fret, or less: it leaves when the struck note has had its share. Common practice, no source. */
const SLIDE_STEP: Seconds = 0.05;
const SLIDE_SHARE = 1 / 3;

/** What a string was last made to sound, and when. */
interface Sounding {
  readonly fret: Fret;
  readonly at: Seconds;
}

/** Turns strokes to events one after the other; it remembers where each string is stopped, over bar lines too. */
export class StrokePlayer {
  private readonly sounding = new Map<StringNumber, Sounding>();

  constructor(private readonly neck: Neck) {}

  /**
   * What is heard of one stroke, in order. A note that the neck has no fret for is not heard. A slide whose string does not
   * sound has nowhere to come from and is heard as a hammer.
   * @param at when it is played; a slide is over then and has begun before
   * @param seconds how long it lasts
   */
  events(stroke: Stroke, at: Seconds, seconds: Seconds): readonly SoundEvent[] {
    const notes = stroke.notes.filter(({ string, fret }) => hasFret(this.neck, string, fret));
    // The nail comes down towards the floor: over the low strings first.
    const order = [...notes].sort((a, b) => b.string - a.string);
    const step = Math.min(BRUSH_STEP, (BRUSH_SHARE * seconds) / Math.max(1, order.length - 1));
    return order.flatMap((note, index) => {
      const when = at + index * step;
      const events = this.noteEvents(stroke.by, note, when);
      this.sounding.set(note.string, { fret: note.fret, at: when });
      return events;
    });
  }

  private noteEvents(by: Stroke['by'], note: Note, at: Seconds): readonly SoundEvent[] {
    const { string } = note;
    const hz = hzFromMidi(midiAt(this.neck, string, note.fret));
    switch (by) {
      case 'strike':
      case 'brush':
      case 'thumb':
        return [{ kind: 'pluck', at, string, hz, level: LEVELS[by], position: this.place(note) }];
      case 'chop': {
        const position = this.place(note);
        return [{ kind: 'pluck', at, string, hz, level: LEVELS.chop, position, stopped: true }];
      }
      case 'hammer':
        return [{ kind: 'hammer', at, string, hz, level: LEVELS.hammer }];
      case 'pull':
      case 'pluck':
        return [{ kind: 'pull', at, string, hz, level: LEVELS[by], position: PULLING_PLACE }];
      case 'slide':
        return this.slide(note, at);
      case 'rest':
        return [];
      default:
        return assertNever(by);
    }
  }

  /** One event a fret, evenly, the last one at `at`. */
  private slide({ string, fret }: Note, at: Seconds): readonly SoundEvent[] {
    const from = this.sounding.get(string);
    if (from === undefined || from.at >= at) return this.noteEvents('hammer', { string, fret }, at);
    const up = Math.sign(fret - from.fret);
    const frets = Array.from(
      { length: Math.abs(fret - from.fret) },
      (_, i) => from.fret + up * (i + 1),
    );
    const crossed = frets.filter((each) => hasFret(this.neck, string, each));
    const free = (1 - SLIDE_SHARE) * (at - from.at);
    const step = Math.min(SLIDE_STEP, free / Math.max(1, crossed.length - 1));
    return crossed.map((each, index) => ({
      kind: 'slide' as const,
      at: at - (crossed.length - 1 - index) * step,
      string,
      hz: hzFromMidi(midiAt(this.neck, string, each)),
    }));
  }

  /** The picking finger keeps its place over the head, so that it is a larger part of a string that is stopped higher up. */
  private place({ string, fret }: Note): number {
    const raised = midiAt(this.neck, string, fret) - openMidi(this.neck, string);
    return Math.min(0.5, PICKING_PLACE * 2 ** (raised / 12));
  }
}
