import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readAbc } from '../../../lib/formats/abc/read';
import { recoveredForm } from '../../../lib/formats/repeats';
import type { Melody, MelodyMeasure } from '../../../lib/melody';

/** A measure for a letter; the same letter is the same music. */
function measure(letter: string): MelodyMeasure {
  const midi = 50 + letter.charCodeAt(0) - 'a'.charCodeAt(0);
  return { startsAt: 0, ticks: 1920, notes: [{ at: 0, length: 1920, midi }] };
}

const PICKUP: MelodyMeasure = {
  startsAt: 1440,
  ticks: 480,
  notes: [{ at: 0, length: 480, midi: 90 }],
};

function written(text: string): readonly MelodyMeasure[] {
  return [...text.replaceAll(' ', '')].map((letter) => (letter === '>' ? PICKUP : measure(letter)));
}

/** A form with its parts: "A abcd(e1)(f2) / A A". */
function said(text: string): string {
  const found = recoveredForm(written(text));
  if (!found) return 'none';
  const parts = found.parts.map(({ letter, measures }) => {
    const music = measures.map(({ notes, endings }) => {
      const name = String.fromCharCode(47 + (notes[0]?.midi ?? 0)).replace(/[^a-z]/, '>');
      return endings ? `(${name}${endings.join(',')})` : name;
    });
    return `${letter} ${music.join('')}`;
  });
  return `${parts.join(' ')} / ${found.form.join(' ')}`;
}

/** What is played, measure by measure, without the endings' numbers. */
function playedOut({ parts, form }: Pick<Melody, 'parts' | 'form'>): readonly MelodyMeasure[] {
  const times = new Map<string, number>();
  return form.flatMap((letter) => {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    const measures = parts.find((part) => part.letter === letter)?.measures ?? [];
    return measures
      .filter(({ endings }) => !endings || endings.includes(time))
      .map(({ endings: _, ...one }) => one);
  });
}

describe('a tune that is written out comes back with its repeats', () => {
  test.each([
    ['abcdefgh abcdefgh ijklmnop ijklmnop', 'A abcdefgh B ijklmnop / A A B B'],
    ['abcdefgh ijklmnop abcdefgh ijklmnop', 'A abcdefghijklmnop / A A'],
    ['abcdefgh abcdefgi', 'A abcdefg(h1)(i2) / A A'],
    ['abcdefgh abcdefij klmnopqr', 'A abcdef(g1)(h1)(i2)(j2) B klmnopqr / A A B'],
    ['> abcdefgh abcdefgh', 'A (>1)abcdefgh / A A'],
    ['abcd abcd efgh efgh', 'A abcd B efgh / A A B B'],
    [
      'abcdefgh abcdefgi jklmnopq abcdefgh abcdefgi',
      'A abcdefg(h1,3)(i2,4) B jklmnopq / A A B A A',
    ],
    ['abcdefgh ijklmnop', 'none'],
    ['abcdefgh abcdeijk', 'none'],
    ['a', 'none'],
    ['', 'none'],
  ])('%s: %s', (text, expected) => expect(said(text)).toBe(expected));
});

test('whatever repeats, played out it is the melody as it was', () => {
  const letters = fc.array(fc.constantFrom(...'aab'), { maxLength: 60 });
  const blocks = fc
    .array(fc.constantFrom('abcdefgh', 'abcdefgi', 'abcdefjk', 'aaaa', 'aaab', 'a'), {
      maxLength: 9,
    })
    .map((all) => [...all.join('')]);
  fc.assert(
    fc.property(fc.oneof(letters, blocks), fc.boolean(), (row, pickup) => {
      const measures = written(`${pickup ? '>' : ''}${row.join('')}`);
      const found = recoveredForm(measures);
      if (found) expect(playedOut(found)).toEqual(measures);
    }),
    { seed: 1, numRuns: 500 },
  );
});

test('a reel with endings, written out by its own reader, is the reel again', () => {
  const bars = (last: string) =>
    `B2d2 d2B2|c2e2 e2c2|B2d2 d2B2|A2F2 D4|B2d2 d2B2|c2e2 e2c2|d2c2 B2A2|${last}|`;
  const read = readAbc(`X:1\nT:t\nM:4/4\nL:1/8\nK:G\n${bars('G6 D2')}\n${bars('G8')}\n`);
  if (!read.ok) throw new Error(read.problems[0]?.words);
  const [whole] = read.value.melody.parts;
  const found = recoveredForm(whole?.measures ?? []);
  expect(found?.form).toEqual(['A', 'A']);
  expect(found?.parts[0]?.measures.map(({ endings }) => endings?.join() ?? '')).toEqual([
    ...Array.from({ length: 7 }, () => ''),
    '1',
    '2',
  ]);
});
