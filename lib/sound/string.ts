import type { Hz } from '../units';
import type { Touch } from './excite';
import { fillTouch, touchLength } from './excite';
import type { Ring } from './loop';
import { loopAt } from './loop';
import { Noise } from './noise';
import { TAP_ROOM, Tap } from './tap';

/** What makes a string sound as it does. */
export interface StringVoice {
  /** How long a note of this pitch rings. */
  readonly ring: (hz: Hz) => Ring;
  /** How long it rings under a stopped hand. */
  readonly stopped: Ring;
  /** Brightness of a picking finger, by level, and its scratch. */
  readonly pick: { readonly cutoff: (level: number) => Hz; readonly scratch: number };
  /** A fretting finger that plucks. */
  readonly pull: { readonly cutoff: Hz; readonly scratch: number };
  /** A fretting finger that comes down: no scratch. */
  readonly hammer: { readonly cutoff: Hz; readonly position: number };
  /** What is left of the ringing note (0 to 1) when the string is picked, pulled, hammered, and at each fret of a slide. */
  readonly keeps: {
    readonly pick: number;
    readonly pull: number;
    readonly hammer: number;
    readonly slide: number;
  };
}

/** The lowest note that a string can be asked for. A five-string's lowest is C3, 131 Hz. */
const LOWEST_HZ: Hz = 80;
/** How long a string takes to change from one length to the next: under a finger, and over a fret. Common practice, no source. */
const CHANGE_SECONDS = 0.003;
const FRET_SECONDS = 0.012;
/** How softly the touching finger takes hold of what rings, so that it makes no click. */
const HOLD_SECONDS = 0.001;
/** A string rests after this many times the time in which it falls by 60 dB: at -132 dB. */
const RESTS_AFTER = 2.2;

/**
 * One string: a delay line that rings on until it is played again or stopped. What the hands do takes hold at the next sample
 * that is rendered. One voice, deterministic, and the same whatever lengths it is rendered in.
 * Source: Karplus and Strong 1983 with the extensions of Jaffe and Smith 1983 (see loop.ts and excite.ts); two taps that fade
 * into one another where the length changes: common practice, no source.
 */
export class PluckedString {
  private readonly line: Float64Array;
  private readonly mask: number;
  private readonly given: Float64Array;
  private readonly noise: Noise;
  private at = 0;
  private tap: Tap;
  private hz: Hz = LOWEST_HZ;
  private before: Tap;
  private fadeLeft = 0;
  private fadeLength = 1;
  private giveAt = 0;
  private giveLength = 0;
  private holdAt = 0;
  private holdLength = 0;
  private keep = 1;
  private left = 0;

  constructor(
    private readonly sampleRate: number,
    private readonly voice: StringVoice,
    seed: number,
  ) {
    const longest = Math.ceil(sampleRate / LOWEST_HZ) + TAP_ROOM;
    this.line = new Float64Array(2 ** Math.ceil(Math.log2(longest)));
    this.mask = this.line.length - 1;
    const darkest = { level: 0, position: 0.5, cutoff: voice.hammer.cutoff, scratch: 0 };
    this.given = new Float64Array(touchLength(sampleRate, longest, darkest));
    this.noise = new Noise(seed);
    this.tap = new Tap(loopAt(sampleRate, LOWEST_HZ, voice.stopped));
    this.before = this.tap;
  }

  /** Does it still ring? */
  get sounds(): boolean {
    return this.left > 0;
  }

  /**
   * A finger of the picking hand.
   * @param level 0 to 1
   * @param position part of the sounding length from the bridge, at most 1/2
   * @param stopped under a hand that lies on the string: a knock and hardly a note
   */
  pluck(hz: Hz, level: number, position: number, stopped = false): void {
    const { cutoff, scratch } = this.voice.pick;
    this.lengthen(hz, stopped ? this.voice.stopped : this.voice.ring(hz), CHANGE_SECONDS);
    this.touch({ level, position, cutoff: cutoff(level), scratch }, this.voice.keeps.pick);
  }

  /** A fretting finger comes down: the same string at its new length, given new energy, without the noise of a pick. */
  hammer(hz: Hz, level: number): void {
    const { cutoff, position } = this.voice.hammer;
    this.lengthen(hz, this.voice.ring(hz), CHANGE_SECONDS);
    this.touch({ level, position, cutoff, scratch: 0 }, this.voice.keeps.hammer);
  }

  /** A fretting finger leaves and plucks the string on its way. */
  pull(hz: Hz, level: number, position: number): void {
    this.lengthen(hz, this.voice.ring(hz), CHANGE_SECONDS);
    this.touch({ level, position, ...this.voice.pull }, this.voice.keeps.pull);
  }

  /** A sliding finger crosses a fret: the pitch glides on to `hz` and some of the energy stays behind. */
  slide(hz: Hz): void {
    const { left } = this;
    this.lengthen(hz, this.voice.ring(hz), FRET_SECONDS);
    this.hold(this.voice.keeps.slide);
    // A slide gives no energy, so it cannot make the string ring for longer.
    this.left = Math.min(left, this.left);
  }

  /** A hand on the string. */
  damp(): void {
    const { left } = this;
    this.lengthen(this.hz, this.voice.stopped, CHANGE_SECONDS);
    this.left = Math.min(left, this.left);
  }

  /** At rest at once, as if it had never been played; the noise goes on from where it was. */
  rest(): void {
    this.line.fill(0);
    this.tap.rest();
    this.fadeLeft = 0;
    this.giveLength = 0;
    this.holdLength = 0;
    this.left = 0;
  }

  /** Adds the next `to - from` samples to `out`. */
  render(out: Float64Array, from: number, to: number): void {
    let at = from;
    while (at < to && this.left > 0) {
      const run = Math.min(to - at, this.left);
      const busy = Math.max(
        this.fadeLeft,
        this.giveLength - this.giveAt,
        this.holdLength - this.holdAt,
      );
      const length = busy > 0 ? Math.min(run, busy) : run;
      if (busy > 0) this.renderTouched(out, at, at + length);
      else this.renderRinging(out, at, at + length);
      this.left -= length;
      at += length;
      if (this.left === 0) this.rest();
    }
  }

  private lengthen(hz: Hz, ring: Ring, seconds: number): void {
    this.hz = hz;
    this.before = this.tap;
    this.tap = new Tap(loopAt(this.sampleRate, hz, ring));
    this.tap.prime(this.line, this.at, this.mask);
    this.fadeLength = Math.ceil(seconds * this.sampleRate);
    this.fadeLeft = this.fadeLength;
    this.left = Math.ceil(RESTS_AFTER * ring.seconds * this.sampleRate);
  }

  private touch(touch: Touch, keep: number): void {
    this.giveLength = fillTouch(this.given, this.sampleRate, this.tap.delay, touch, this.noise);
    this.giveAt = 0;
    this.hold(keep);
  }

  /** Once around, what comes back is made `keep` times as high. */
  private hold(keep: number): void {
    this.keep = keep;
    this.holdAt = 0;
    this.holdLength = this.tap.delay;
  }

  /** What the finger on the string leaves of the next sample: 1 at both ends of its time, `keep` between. */
  private heldGain(): number {
    if (this.holdAt >= this.holdLength) return 1;
    const ramp = Math.min(HOLD_SECONDS * this.sampleRate, this.holdLength / 4);
    const edge = Math.min(this.holdAt, this.holdLength - this.holdAt) / ramp;
    this.holdAt += 1;
    return edge >= 1 ? this.keep : 1 - (1 - this.keep) * edge;
  }

  private renderTouched(out: Float64Array, from: number, to: number): void {
    const { line, mask, given, tap, before } = this;
    for (let i = from; i < to; i += 1) {
      let back = tap.step(line, this.at, mask);
      if (this.fadeLeft > 0) {
        const part = this.fadeLeft / this.fadeLength;
        const old = part * part * (3 - 2 * part);
        back += old * (before.step(line, this.at, mask) - back);
        this.fadeLeft -= 1;
      }
      back *= this.heldGain();
      if (this.giveAt < this.giveLength) {
        back += given[this.giveAt] ?? 0;
        this.giveAt += 1;
      }
      line[this.at] = back;
      out[i] = (out[i] ?? 0) + back;
      this.at = (this.at + 1) & mask;
    }
  }

  /** The same as above where nobody touches the string, for speed. */
  private renderRinging(out: Float64Array, from: number, to: number): void {
    const { line, mask, tap } = this;
    const { newer, older, allpass, delay } = tap;
    const far = delay + tap.span;
    let { at } = this;
    let { averaged, given } = tap;
    for (let i = from; i < to; i += 1) {
      const mean =
        newer * (line[(at - delay) & mask] ?? 0) + older * (line[(at - far) & mask] ?? 0);
      given = allpass * (mean - given) + averaged;
      averaged = mean;
      line[at] = given;
      out[i] = (out[i] ?? 0) + given;
      at = (at + 1) & mask;
    }
    this.at = at;
    tap.averaged = averaged;
    tap.given = given;
  }
}
