import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds } from '../../../lib/sound/event';
import type { Output } from './output';
import type { InRound, Round, Rounds } from './round';
import { inRound } from './round';

/** Between pressing the button and the first sound: the audio thread has heard of it by then. */
const START_AHEAD: Seconds = 0.12;
/** Rounds are laid out so far ahead: longer than a page is ever busy with something else. */
const AHEAD: Seconds = 5;
/** A round that begins within this time can no longer be changed. */
const SETTLED: Seconds = 0.1;

/** A round on the clock. */
interface Laid {
  readonly index: number;
  readonly round: Round;
  readonly start: Seconds;
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

  /** What comes after the round that is playing; the player asks from that round's number on. */
  change(rounds: Rounds): void {
    if (!this.playing) return;
    this.rounds = rounds;
    const settled = this.output.now() + SETTLED;
    const [first] = this.laid.filter(({ start }) => start > settled);
    if (first) {
      this.output.forget(first.start);
      this.laid = this.laid.filter(({ start }) => start < first.start);
      this.next = first.index;
      this.nextStart = first.start;
    }
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
    const laid = this.laid.findLast(({ start }) => start <= now) ?? this.laid[0];
    if (!laid) return undefined;
    const place = inRound(laid.round, now - laid.start);
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
      const start = Math.max(this.nextStart, this.output.now());
      const { events, seconds } = round.score;
      this.output.play(events.map((event) => ({ ...event, at: start + event.at })));
      const end = start + seconds;
      this.laid = [...this.laid, { index: this.next, round, start, end }];
      this.next += 1;
      this.nextStart = end;
    }
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
