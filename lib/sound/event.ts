import type { Hz, StringNumber } from '../units';

/** Seconds from the start of what is played. */
export type Seconds = number;

/**
 * What happens to a string, or a click, at a time. Plain values, so that they can be sent to an audio thread.
 * `level` goes from 0 to 1; `position` is the part of the sounding length from the bridge.
 */
export type SoundEvent = { readonly at: Seconds } & (
  | {
      readonly kind: 'pluck';
      readonly string: StringNumber;
      readonly hz: Hz;
      readonly level: number;
      readonly position: number;
      /** Under a hand that lies on the strings. */
      readonly stopped?: boolean;
    }
  | {
      readonly kind: 'hammer';
      readonly string: StringNumber;
      readonly hz: Hz;
      readonly level: number;
    }
  | {
      readonly kind: 'pull';
      readonly string: StringNumber;
      readonly hz: Hz;
      readonly level: number;
      readonly position: number;
    }
  /** The sliding finger crosses a fret; the last of several is the arrival. */
  | { readonly kind: 'slide'; readonly string: StringNumber; readonly hz: Hz }
  | { readonly kind: 'damp'; readonly string: StringNumber }
  | { readonly kind: 'click'; readonly accent: boolean }
);
