import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEMO_ABC } from '../../lib/demo-tune';
import { readAbc } from '../../lib/formats/abc/read';

const SIGNS = [...'ABCdefg^_=,\'|:[]()<>-0123456789/"{}!%&~zZxy \nKMLPQVTX:\\$+.'];

/** The demo tune with a few characters taken out, put in or swapped. */
const mutated = fc
  .array(
    fc.record({
      at: fc.nat(DEMO_ABC.length),
      out: fc.nat(4),
      text: fc.string({ unit: fc.constantFrom(...SIGNS), maxLength: 6 }),
    }),
    { maxLength: 6 },
  )
  .map((edits) =>
    edits.reduce(
      (text, { at, out, text: put }) => text.slice(0, at) + put + text.slice(at + out),
      DEMO_ABC,
    ),
  );

function check(text: string): void {
  const result = readAbc(text);
  const lines = text.split(/\r\n|\r|\n/);
  if (!result.ok) {
    expect(result.problems.length).toBeGreaterThan(0);
    for (const { where, words } of result.problems) {
      expect(where.line >= 1 && where.line <= lines.length).toBe(true);
      expect(where.column >= 1 && where.column <= (lines[where.line - 1] ?? '').length + 1).toBe(
        true,
      );
      expect(words).toMatch(/\.$/);
    }
    return;
  }
  const { meter, parts, form } = result.value.melody;
  expect(form.every((letter) => parts.some((part) => part.letter === letter))).toBe(true);
  for (const { startsAt, ticks, notes } of parts.flatMap((part) => part.measures)) {
    expect(startsAt + ticks).toBeLessThanOrEqual(meter.measure);
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

describe('any text is read or refused, never thrown at', () => {
  it('a tune with slips of the pen', () => {
    fc.assert(fc.property(mutated, check), { seed: 1, numRuns: 3000 });
  });
  it('a header with a body of signs', () => {
    const body = fc.string({ unit: fc.constantFrom(...SIGNS), maxLength: 120 });
    fc.assert(
      fc.property(body, (text) => check(`X:1\nM:4/4\nL:1/8\nK:G\n${text}`)),
      { seed: 1, numRuns: 3000 },
    );
  });
  it('any characters at all', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), check), {
      seed: 1,
      numRuns: 1000,
    });
  });
});
