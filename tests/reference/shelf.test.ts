import { describe, expect, test } from 'vitest';
import { arrange } from '../../lib/arrange/arrange';
import { readAbc } from '../../lib/formats/abc/read';
import { problemsOf } from '../../lib/judge';
import { SHELF } from '../../lib/shelf';
import { measureOf } from '../../lib/tune';
import { heardByUs } from '../kit/heard';
import { heardByAbcjs } from './formats/abcjs';

describe.each(SHELF.map((tune) => [tune.title, tune] as const))('%s', (title, { abc }) => {
  const read = readAbc(abc);
  if (!read.ok) throw new Error(read.problems.map(({ words }) => words).join(' '));

  // An independent reader (abcjs 6.7.2) agrees in pitch, onset and length; none of these tunes hangs on what it gets wrong.
  test('is read as abcjs reads it', () => {
    expect(heardByUs(abc)).toEqual(heardByAbcjs(abc));
  });

  test('is set with every note of its melody, and can be played', () => {
    const arranged = arrange(read.value.melody);
    if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
    const { tune, kept, of } = arranged.value;
    expect(tune.title).toBe(title);
    expect(kept / of).toBeGreaterThan(0.9);
    for (const part of tune.parts)
      for (const plain of part.measures)
        expect(problemsOf(measureOf(tune.meter, plain), tune.neck)).toEqual([]);
  });
});
