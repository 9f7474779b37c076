import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds } from '../../../lib/sound/event';
import type { Output } from './output';
import type { InRound, Round, Rounds } from './round';
import { inRound } from './round';

/** Between pressing the button and the first sound: the audio thread has heard of it by then. */
const START_AHEAD: Seconds = 0.12;
/** Rounds are laid out so far ahead: longer than a page is ever busy with something else. */
const AHEAD: Seconds = 5;
/** What begins within this time can no longer be changed. */
const SETTLED: Seconds = 0.1;

/** A round, or what is left of it after a change, on the clock. */
interface Laid {
  readonly index: number;
  readonly round: Round;
  /** When the round began, or would have begun if all of it had been played as it is now. */
  readonly zero: Seconds;
  readonly from: Seconds;
  readonly end: Seconds;
}

/** Where the player is, as it is heard. */
export interface Heard extends InRound {
  readonly round: Round;
  /** Counted from 0. */
  readonly index: number;
}

/** Plays rounds one after the other without a gap, by the output's own clock. */
export class Player {
  private laid: readonly Laid[] = [];
  private rounds: Rounds | undefined;
  /** The round to be laid out next, and when it begins. */
  private next = 0;
  private nextStart: Seconds = 0;
  private readonly listeners = new Set<() => void>();

  constructor(readonly output: Output) {
    output.onTick(() => this.tick());
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  get playing(): boolean {
    return this.laid.length > 0;
  }

  /** Begins with round 0, in place of what is playing. */
  play(rounds: Rounds): void {
    this.output.stop();
    this.laid = [];
    this.rounds = rounds;
    this.next = 0;
    this.nextStart = this.output.now() + START_AHEAD;
    this.layOut();
    this.tell();
  }

  /**
   * Other rounds from here on. Where the round that is playing has the same measures in them, it goes on as theirs from the next
   * bar line; else it is played to its end.
   */
  change(rounds: Rounds): void {
    if (!this.playing) return;
    const settled = this.output.now() + SETTLED;
    const current = this.laid.findLast(({ from }) => from <= settled);
    const changed = current && goneOn(current, rounds(current.index), settled);
    // Where nothing sounds yet, all of it is still to come.
    const until = changed?.from ?? current?.end ?? this.laid[0]?.from ?? this.nextStart;
    this.next = current ? current.index + 1 : (this.laid[0]?.index ?? this.next);
    this.output.forget(until);
    this.laid = this.laid
      .filter(({ from }) => from < until)
      .map((laid) => ({ ...laid, end: Math.min(laid.end, until) }));
    if (changed) this.lay(changed);
    this.rounds = rounds;
    this.nextStart = changed?.end ?? until;
    this.layOut();
  }

  stop(): void {
    if (!this.playing) return;
    this.output.stop();
    this.end();
  }

  setMix(mix: Mix): void {
    this.output.setMix(mix);
  }

  /**
   * Where it is at this moment, or so much later; before the first sound it is at its beginning. Undefined when nothing is played.
   */
  heard(ahead: Seconds = 0): Heard | undefined {
    const now = this.output.heard() + ahead;
    const laid = this.laid.findLast(({ from }) => from <= now) ?? this.laid[0];
    if (!laid) return undefined;
    const place = inRound(laid.round, now - laid.zero);
    return { ...place, round: laid.round, index: laid.index };
  }

  private tick(): void {
    if (!this.playing) return;
    const heard = this.output.heard();
    this.laid = this.laid.filter(({ end }) => end > heard);
    if (this.rounds) this.layOut();
    if (this.playing) this.tell();
    else this.end();
  }

  private layOut(): void {
    while (this.rounds && this.nextStart < this.output.now() + AHEAD) {
      const round = this.rounds(this.next);
      // One without length would be played for ever at one moment.
      if (!round || round.score.seconds <= 0) {
        this.rounds = undefined;
        return;
      }
      // After a sleep of the machine: go on from here rather than in a rush.
      const from = Math.max(this.nextStart, this.output.now());
      const end = from + round.score.seconds;
      this.lay({ index: this.next, round, zero: from, from, end });
      this.next += 1;
      this.nextStart = end;
    }
  }

  private lay(laid: Laid): void {
    const events = laid.round.score.events.map((event) => ({ ...event, at: laid.zero + event.at }));
    this.output.play(events.filter(({ at }) => at >= laid.from));
    this.laid = [...this.laid, laid];
  }

  private end(): void {
    this.laid = [];
    this.rounds = undefined;
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

/** The rest of a round as another one, from the first bar line after `settled`; undefined where that has other measures. */
function goneOn(
  { index, round, zero }: Laid,
  other: Round | undefined,
  settled: Seconds,
): Laid | undefined {
  const bar = round.score.measures.findIndex((start) => zero + start > settled);
  const start = round.score.measures[bar];
  const otherStart = other?.score.measures[bar];
  if (start === undefined || otherStart === undefined || !other) return undefined;
  if (other.places.join() !== round.places.join()) return undefined;
  const from = zero + start;
  const otherZero = from - otherStart;
  return { index, round: other, zero: otherZero, from, end: otherZero + other.score.seconds };
}
