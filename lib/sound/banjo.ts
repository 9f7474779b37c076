import type { Hz, StringNumber } from '../units';
import { assertNever, STRINGS } from '../units';
import { Biquad, highPassShape, peakShape } from './biquad';
import { ClickVoice } from './click';
import type { SoundEvent } from './event';
import { Glide } from './glide';
import { Limiter } from './limiter';
import type { StringVoice } from './string';
import { PluckedString } from './string';

/** How loud each voice is, 0 to 1. */
export interface Mix {
  /** Everything. */
  readonly level: number;
  /** Strings 1 to 4. */
  readonly melody: number;
  /** String 5. */
  readonly drone: number;
  readonly click: number;
}

export const DEFAULT_MIX: Mix = { level: 0.8, melody: 1, drone: 1, click: 0.5 };

/**
 * A banjo's string: bright when it is picked, gone within two seconds, the high ones sooner.
 * Common practice, no source; what it measures is in tests/unit/sound/banjo.test.ts
 */
export const BANJO_STRING: StringVoice = {
  ring: (hz) => ({
    seconds: 1.9 * (150 / hz) ** 0.3,
    brightSeconds: 0.85 * (150 / hz) ** 0.8,
  }),
  stopped: { seconds: 0.07, brightSeconds: 0.03 },
  pick: { cutoff: (level) => 1500 + 2000 * level, scratch: 0.35 },
  pull: { cutoff: 1800, scratch: 0.12 },
  hammer: { cutoff: 900, position: 0.3 },
  keeps: { pick: 0.2, pull: 0.75, hammer: 0.8, slide: 0.87 },
};

/** The head and the bridge: what they add around these pitches. Common practice, no source. */
const HILLS: readonly { readonly hz: Hz; readonly q: number; readonly db: number }[] = [
  { hz: 320, q: 1.6, db: 6 },
  { hz: 710, q: 2.5, db: 5 },
  { hz: 1250, q: 3, db: 4 },
  { hz: 2700, q: 1.6, db: 3 },
];
/** Below this a banjo's small head gives little. Common practice, no source. */
const BODY_HZ: Hz = 140;
/** From the string's height to the output's at full level. */
const STRING_GAIN = 0.03;
/** The drone stands behind the melody. */
const DRONE_BALANCE = 0.6;

/** The first sound after silence starts this much lower and is at its level so much later. Common practice, no source. */
const SOFT_START = 0.3;
const SOFT_SECONDS = 1;

/** Five strings on one body, with a metronome beside them. Renders at the pace it is asked, in pieces of up to `Banjo.PIECE`. */
export class Banjo {
  /** Most samples that are rendered at a time. */
  static readonly PIECE = 128;
  /** Samples by which the output is late (the limiter looks ahead). */
  readonly delay: number;
  private readonly strings: readonly PluckedString[];
  private readonly body: readonly Biquad[];
  private readonly click: ClickVoice;
  private readonly limiter: Limiter;
  private readonly melody: Glide;
  private readonly drone: Glide;
  private readonly clicks: Glide;
  private readonly level: Glide;
  private readonly other = new Float64Array(Banjo.PIECE);
  private readonly softer: number;
  private soft = SOFT_START;
  private started = false;

  constructor(sampleRate: number, mix: Mix = DEFAULT_MIX) {
    // Any seeds do, as long as they differ and stay.
    this.strings = STRINGS.map((s) => new PluckedString(sampleRate, BANJO_STRING, 7919 * s));
    this.body = [
      highPassShape(sampleRate, BODY_HZ, Math.SQRT1_2),
      ...HILLS.map(({ hz, q, db }) => peakShape(sampleRate, hz, q, db)),
    ].map((shape) => new Biquad(shape));
    this.click = new ClickVoice(sampleRate);
    this.limiter = new Limiter(sampleRate);
    this.delay = this.limiter.delay;
    this.melody = new Glide(sampleRate, mix.melody);
    this.drone = new Glide(sampleRate, mix.drone);
    this.clicks = new Glide(sampleRate, mix.click);
    this.level = new Glide(sampleRate, mix.level);
    this.softer = SOFT_START ** (-1 / (SOFT_SECONDS * sampleRate));
  }

  /** Levels that are glided to. */
  setMix(mix: Mix): void {
    this.melody.goTo(mix.melody);
    this.drone.goTo(mix.drone);
    this.clicks.goTo(mix.click);
    this.level.goTo(mix.level);
  }

  /** Does it, at the next sample. */
  play(event: SoundEvent): void {
    this.started = true;
    if (event.kind === 'click') {
      this.click.strike(event.accent);
      return;
    }
    const string = this.string(event.string);
    switch (event.kind) {
      case 'pluck':
        string.pluck(event.hz, event.level, event.position, event.stopped);
        break;
      case 'hammer':
        string.hammer(event.hz, event.level);
        break;
      case 'pull':
        string.pull(event.hz, event.level, event.position);
        break;
      case 'slide':
        string.slide(event.hz);
        break;
      case 'damp':
        string.damp();
        break;
      default:
        assertNever(event);
    }
  }

  /** Everything at rest at once, and the next start is soft again. */
  rest(): void {
    for (const string of this.strings) string.rest();
    for (const filter of this.body) filter.rest();
    this.click.rest();
    this.limiter.rest();
    this.soft = SOFT_START;
    this.started = false;
  }

  /** Writes the next `to - from` samples into `out`, at most `Banjo.PIECE`. */
  render(out: Float64Array, from: number, to: number): void {
    const { other } = this;
    const length = to - from;
    out.fill(0, from, to);
    other.fill(0, 0, length);
    for (const number of STRINGS)
      if (number === 5) this.string(5).render(other, 0, length);
      else this.string(number).render(out, from, to);
    this.melody.render(out, from, to);
    this.drone.render(other, 0, length);
    const drone = STRING_GAIN * DRONE_BALANCE;
    for (let i = 0; i < length; i += 1)
      out[from + i] = STRING_GAIN * (out[from + i] ?? 0) + drone * (other[i] ?? 0);
    for (const filter of this.body) filter.render(out, from, to);
    other.fill(0, 0, length);
    this.click.render(other, 0, length);
    this.clicks.render(other, 0, length);
    for (let i = 0; i < length; i += 1) out[from + i] = (out[from + i] ?? 0) + (other[i] ?? 0);
    this.soften(out, from, to);
    this.level.render(out, from, to);
    this.limiter.render(out, from, to);
  }

  /** Lets what is too low to matter come to rest, so that silence is silence and costs nothing. */
  settle(): void {
    if (!this.sounds) for (const filter of this.body) filter.settle();
  }

  get sounds(): boolean {
    return this.click.sounds || this.strings.some((string) => string.sounds);
  }

  private soften(out: Float64Array, from: number, to: number): void {
    if (!this.started || this.soft === 1) return;
    for (let i = from; i < to; i += 1) {
      out[i] = (out[i] ?? 0) * this.soft;
      this.soft = Math.min(1, this.soft * this.softer);
    }
  }

  private string(number: StringNumber): PluckedString {
    const string = this.strings[number - 1];
    if (!string) throw new RangeError(`no string ${number}`);
    return string;
  }
}
