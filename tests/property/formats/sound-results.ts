import { expect } from 'vitest';
import type { Melody } from '../../../lib/melody';
import { checkFill } from '../../../lib/tab/fill';
import type { Tune } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import { hasFret } from '../../../lib/tuning';

/** Every letter of the form is a part, and the parts have measures. */
function checkForm({ parts, form }: Pick<Tune | Melody, 'parts' | 'form'>): void {
  expect(form.length).toBeGreaterThan(0);
  expect(form.every((letter) => parts.some((part) => part.letter === letter))).toBe(true);
  expect(parts.every((part) => part.measures.length > 0)).toBe(true);
}

/** A melody that can be arranged: whole ticks, in order, inside its measures. */
export function checkMelody(melody: Melody): void {
  checkForm(melody);
  for (const { startsAt, ticks, notes } of melody.parts.flatMap((part) => part.measures)) {
    expect(startsAt + ticks).toBeLessThanOrEqual(melody.meter.measure);
    let reached = 0;
    for (const { at, length, midi } of notes) {
      expect([at, length, midi].every(Number.isInteger)).toBe(true);
      expect(at).toBeGreaterThanOrEqual(reached);
      expect(length).toBeGreaterThan(0);
      reached = at + length;
    }
    expect(reached).toBeLessThanOrEqual(ticks);
  }
}

/** A tune that a board can hold: every measure adds up, every fret is there. */
export function checkTune(tune: Tune): void {
  checkForm(tune);
  for (const measure of tune.parts.flatMap((part) => part.measures)) {
    expect(checkFill(measureOf(tune.meter, measure))).toEqual([]);
    for (const { string, fret } of measure.strokes.flatMap(({ notes }) => notes))
      expect(hasFret(tune.neck, string, fret)).toBe(true);
  }
}

/** Problems that help: at least one, each a sentence. */
export function checkProblems(problems: readonly { readonly words: string }[]): void {
  expect(problems.length).toBeGreaterThan(0);
  for (const { words } of problems) expect(words).toMatch(/\.$/);
}
