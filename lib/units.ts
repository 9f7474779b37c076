/**
 * Named units. A flavoured number takes plain numbers, but one flavour never passes for another:
 * `Ticks` cannot be handed to something that wants `Ms`.
 */
type Flavour<T, Name extends string> = T & { readonly __unit?: Name };
type Brand<T, Name extends string> = T & { readonly __brand: Name };

/** Whole ticks of musical time, 480 a quarter note. */
export type Ticks = Flavour<number, 'ticks'>;
/** Milliseconds. Times of day are server milliseconds since the Unix epoch. */
export type Ms = Flavour<number, 'ms'>;
/** MIDI note number, 69 is A4. */
export type Midi = Flavour<number, 'midi'>;
/** Frequency in hertz. */
export type Hz = Flavour<number, 'hz'>;
/** A fret counted from the capo (from the nut without one); 0 is open. On string 5 counted by the neck. */
export type Fret = Flavour<number, 'fret'>;
/** A distance in semitones (equal temperament). */
export type Semitones = Flavour<number, 'semitones'>;
/** Beats (bum-ditties, see `beatTicks`) a minute. */
export type Bpm = Flavour<number, 'bpm'>;

/** String number, counted from the floor up: 1 is the highest long string, 5 the short drone string. */
export type StringNumber = 1 | 2 | 3 | 4 | 5;

export type MeasureId = Brand<string, 'measure'>;
export type VariantId = Brand<string, 'variant'>;
export type ParticipantId = Brand<string, 'participant'>;
export type BoardId = Brand<string, 'board'>;

export const TICKS_PER_QUARTER = 480;
export const STRINGS: readonly StringNumber[] = [1, 2, 3, 4, 5];

export function isStringNumber(value: unknown): value is StringNumber {
  return value === 1 || value === 2 || value === 3 || value === 4 || value === 5;
}

/** Ends a `switch` over a union: a case that was forgotten is a compile error, and throws if it happens all the same. */
export function assertNever(value: never): never {
  throw new RangeError(`unexpected case: ${JSON.stringify(value)}`);
}
