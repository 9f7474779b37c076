import type { Mix } from './banjo';
import { Banjo } from './banjo';
import type { Seconds, SoundEvent } from './event';
import type { Track } from './round';
import type { ScoreRequest } from './score';
import { scoreOf } from './score';

/** An event that comes too late for its time is still played if it is no later than this. Common practice, no source. */
const LATE_SECONDS: Seconds = 0.03;
/** A stop fades out in this time, so that it does not click. */
const STOP_SECONDS: Seconds = 0.01;
/** Rendered after the last event or the end of the last measure, for what rings on. */
export const TAIL_SECONDS: Seconds = 2.2;
/** Samples a second that can be rendered: what browsers must offer. Source: Web Audio API 1.1, BaseAudioContext.createBuffer. */
const LEAST_RATE = 8000;
const MOST_RATE = 96_000;

interface Queued {
  readonly sample: number;
  readonly event: SoundEvent;
}

/**
 * Renders events to sound, block after block of any length: the same samples whatever the lengths. It keeps the time that it
 * has rendered, looks no clock up, and can be given events while it runs.
 * @throws RangeError for a sample rate that no browser must offer
 */
export class SoundRenderer {
  private readonly banjo: Banjo;
  private readonly piece = new Float64Array(Banjo.PIECE);
  /** How much of `piece` is given out. */
  private given = Banjo.PIECE;
  /** Samples rendered so far; those in `piece` and those in the limiter are not given out yet. */
  private rendered = 0;
  private queue: Queued[] = [];
  private next = 0;
  private position = 0;
  private fadeLeft = 0;

  constructor(
    readonly sampleRate: number,
    mix?: Mix,
  ) {
    if (!(sampleRate >= LEAST_RATE && sampleRate <= MOST_RATE))
      throw new RangeError(`${sampleRate} samples a second cannot be rendered`);
    this.banjo = new Banjo(sampleRate, mix);
  }

  /** Time of the next sample that is given out, from the first. Rendering runs up to 5 ms ahead of it. */
  get seconds(): Seconds {
    return this.position / this.sampleRate;
  }

  /** Is there anything still to come or to die away? */
  get sounds(): boolean {
    return this.next < this.queue.length || this.banjo.sounds;
  }

  /**
   * Adds events, their times counted from the first sample of this renderer. What is up to 30 ms late is played at once, what
   * is later is left out.
   */
  schedule(events: readonly SoundEvent[]): void {
    const earliest = this.position - LATE_SECONDS * this.sampleRate;
    const added = events
      .map((event) => ({ sample: Math.round(event.at * this.sampleRate), event }))
      .filter(({ sample }) => sample >= earliest);
    // Array sorting keeps the order of equals, so events of one time are played as they came.
    this.queue = [...this.queue.slice(this.next), ...added].sort((a, b) => a.sample - b.sample);
    this.next = 0;
  }

  /** Levels that are glided to. */
  setMix(mix: Mix): void {
    this.banjo.setMix(mix);
  }

  /** Silence within 10 ms: nothing that was scheduled is played. What is scheduled for later than that starts softly. */
  stop(): void {
    this.queue = [];
    this.next = 0;
    this.fadeLeft = Math.ceil(STOP_SECONDS * this.sampleRate);
  }

  /** Fills `out` from `from` to `to` with the next samples, -0.7 to 0.7. */
  render(out: Float32Array, from = 0, to = out.length): void {
    let at = from;
    while (at < to) {
      if (this.given === Banjo.PIECE) this.renderPiece();
      const length = Math.min(to - at, Banjo.PIECE - this.given);
      for (let i = 0; i < length; i += 1) out[at + i] = this.piece[this.given + i] ?? 0;
      if (this.fadeLeft > 0) this.fade(out, at, at + length);
      this.given += length;
      this.position += length;
      at += length;
    }
  }

  /** The next whole piece, cut at the events in it. The first is rendered ahead by as much as the limiter is late. */
  private renderPiece(): void {
    const { banjo } = this;
    while (this.rendered < banjo.delay)
      this.renderEvents(Math.min(Banjo.PIECE, banjo.delay - this.rendered));
    this.renderEvents(Banjo.PIECE);
    banjo.settle();
    this.given = 0;
  }

  private renderEvents(length: number): void {
    const { banjo, piece } = this;
    let at = 0;
    while (at < length) {
      let until = length;
      for (let queued = this.queue[this.next]; queued; queued = this.queue[this.next]) {
        const inPiece = queued.sample - this.rendered;
        if (inPiece > at) {
          until = Math.min(length, inPiece);
          break;
        }
        banjo.play(queued.event);
        this.next += 1;
      }
      banjo.render(piece, at, until);
      at = until;
    }
    this.rendered += length;
  }

  private fade(out: Float32Array, from: number, to: number): void {
    const length = Math.ceil(STOP_SECONDS * this.sampleRate);
    for (let i = from; i < to; i += 1) {
      out[i] = (out[i] ?? 0) * (this.fadeLeft / length);
      if (this.fadeLeft === 0) continue;
      this.fadeLeft -= 1;
      if (this.fadeLeft > 0) continue;
      this.banjo.rest();
      this.piece.fill(0);
    }
  }
}

/** What can be rendered: events with their times, a track of them, or measures that are made into a score first. */
export type SoundSource = readonly SoundEvent[] | Track | ScoreRequest;

export interface SoundOptions {
  readonly sampleRate: number;
  /** 1, or 2 with the same on both sides. */
  readonly channels: 1 | 2;
  readonly mix?: Mix;
}

interface Prepared {
  readonly events: readonly SoundEvent[];
  readonly frames: number;
}

function trackFrom(source: SoundSource): Track {
  if ('events' in source) return source;
  return 'measures' in source ? scoreOf(source) : { events: source, seconds: 0 };
}

function prepared(source: SoundSource, sampleRate: number): Prepared {
  const { events, seconds } = trackFrom(source);
  const end = events.reduce((last, { at }) => Math.max(last, at), seconds);
  return { events, frames: Math.round((end + TAIL_SECONDS) * sampleRate) };
}

/** How many frames (samples a channel) `renderSound` and `soundBlocks` give, without rendering them. */
export function soundFrames(source: SoundSource, sampleRate: number): number {
  return prepared(source, sampleRate).frames;
}

/**
 * The sound in blocks of `frames` frames, the last one shorter, channels interleaved; each block is a new array. For streams: only
 * what is asked for is rendered.
 */
export function* soundBlocks(
  source: SoundSource,
  { sampleRate, channels, mix }: SoundOptions,
  frames = 4096,
): Generator<Float32Array> {
  const { events, frames: all } = prepared(source, sampleRate);
  const renderer = new SoundRenderer(sampleRate, mix);
  renderer.schedule(events);
  for (let done = 0; done < all; done += frames) {
    const block = new Float32Array(Math.min(frames, all - done));
    renderer.render(block);
    yield channels === 1 ? block : interleaved(block, channels);
  }
}

function interleaved(mono: Float32Array, channels: number): Float32Array {
  const out = new Float32Array(mono.length * channels);
  for (let i = 0; i < out.length; i += 1) out[i] = mono[Math.floor(i / channels)] ?? 0;
  return out;
}

/**
 * The whole sound, channels interleaved, from time 0 to `TAIL_SECONDS` after the last event or measure. The same source gives the
 * same samples, bit for bit.
 */
export function renderSound(source: SoundSource, options: SoundOptions): Float32Array {
  const { frames } = prepared(source, options.sampleRate);
  const out = new Float32Array(frames * options.channels);
  let at = 0;
  for (const block of soundBlocks(source, options)) {
    out.set(block, at);
    at += block.length;
  }
  return out;
}
