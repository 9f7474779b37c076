/** An exact fraction in lowest terms; the denominator is above 0. */
export interface Rational {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

/** The greatest whole number that divides both, at least 0; of 0 and 0 it is 0. Euclid's way. */
export function greatestDivisor(a: bigint, b: bigint): bigint {
  let [x, y] = [a < 0n ? -a : a, b < 0n ? -b : b];
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}

/**
 * A fraction of whole numbers in lowest terms.
 * @throws RangeError if a number is not whole or the denominator is 0
 */
export function rational(numerator: bigint | number, denominator: bigint | number = 1n): Rational {
  const [top, bottom] = [BigInt(numerator), BigInt(denominator)];
  if (bottom === 0n) throw new RangeError(`${top} / 0 is no fraction`);
  const divisor = greatestDivisor(top, bottom) * (bottom < 0n ? -1n : 1n);
  return { numerator: top / divisor, denominator: bottom / divisor };
}

export const ZERO = rational(0);

/**
 * The fraction that a number of the machine stands for, exactly: 0.5 is 1/2, but 0.1 is not 1/10.
 * @throws RangeError unless the number is finite
 */
export function rationalFromNumber(value: number): Rational {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is no fraction`);
  let [whole, denominator] = [value, 1n];
  while (!Number.isInteger(whole)) {
    whole *= 2;
    denominator *= 2n;
  }
  return rational(whole, denominator);
}

export function add(a: Rational, b: Rational): Rational {
  return rational(
    a.numerator * b.denominator + b.numerator * a.denominator,
    a.denominator * b.denominator,
  );
}

export function subtract(a: Rational, b: Rational): Rational {
  return add(a, { numerator: -b.numerator, denominator: b.denominator });
}

export function multiply(a: Rational, b: Rational): Rational {
  return rational(a.numerator * b.numerator, a.denominator * b.denominator);
}

/** @throws RangeError if b is 0 */
export function divide(a: Rational, b: Rational): Rational {
  return rational(a.numerator * b.denominator, a.denominator * b.numerator);
}

/** Below 0 if a is less than b, 0 if they are equal, else above 0. */
export function compare(a: Rational, b: Rational): number {
  const difference = a.numerator * b.denominator - b.numerator * a.denominator;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

/** The greatest whole number that is not above it. */
export function floor({ numerator, denominator }: Rational): bigint {
  const down = numerator % denominator < 0n ? 1n : 0n;
  return numerator / denominator - down;
}

/** Binary places kept behind the point by `toNumber`. */
const PLACES = 64n;

/** The nearest number of the machine, at most 2^-53 of it or 2^-63 off; for drawing, never for deciding. */
export function toNumber({ numerator, denominator }: Rational): number {
  return Number((numerator << PLACES) / denominator) / 2 ** Number(PLACES);
}

/** As players of numbers write it: "3/8", a whole number without its denominator. */
export function rationalText({ numerator, denominator }: Rational): string {
  return denominator === 1n ? `${numerator}` : `${numerator}/${denominator}`;
}
