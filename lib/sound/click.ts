import type { Hz } from '../units';

/** Pitch and height of a click, and of the first of a measure. Common practice, no source. */
const BEAT = { hz: 1175, level: 0.6 } as const;
const ACCENT = { hz: 1760, level: 1 } as const;
/** In this time a click falls by 60 dB: short enough to leave the music alone. */
const CLICK_SECONDS = 0.06;
/** Height of the first swing of an accented click at full level; the limiter is not to hear it. */
const HEIGHT = 0.4;

/**
 * The metronome: a short sine that dies away.
 * Source: two-pole resonance, y[n] = 2 r cos(w) y[n-1] - r^2 y[n-2], which is r^n sin(w n) from the right start.
 */
export class ClickVoice {
  private turn = 0;
  private shrink = 0;
  private last = 0;
  private before = 0;
  private left = 0;

  constructor(private readonly sampleRate: number) {}

  get sounds(): boolean {
    return this.left > 0;
  }

  /** A click at the next sample, in place of one that still sounds. */
  strike(accent: boolean): void {
    const { hz, level }: { readonly hz: Hz; readonly level: number } = accent ? ACCENT : BEAT;
    const w = (2 * Math.PI * hz) / this.sampleRate;
    const r = 10 ** (-3 / (CLICK_SECONDS * this.sampleRate));
    this.turn = 2 * r * Math.cos(w);
    this.shrink = r * r;
    this.last = 0;
    this.before = (-HEIGHT * level * Math.sin(w)) / r;
    this.left = Math.ceil(2 * CLICK_SECONDS * this.sampleRate);
  }

  /** Adds the next samples to `out`. */
  render(out: Float64Array, from: number, to: number): void {
    const until = Math.min(to, from + this.left);
    for (let i = from; i < until; i += 1) {
      const now = this.last;
      out[i] = (out[i] ?? 0) + now;
      this.last = this.turn * now - this.shrink * this.before;
      this.before = now;
    }
    this.left -= until - from;
  }

  rest(): void {
    this.left = 0;
  }
}
