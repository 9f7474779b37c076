import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { isKept, linesOf, perLine, printedParts } from '../../../../app/_parts/sheet/lines';
import { arrange } from '../../../../lib/arrange/arrange';
import { readAbc } from '../../../../lib/formats/abc/read';
import { SHELF } from '../../../../lib/shelf';
import type { Tune } from '../../../../lib/tune';

function tuneOf(abc: string): Tune {
  const read = readAbc(abc);
  const arranged = read.ok ? arrange(read.value.melody) : read;
  if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
  return arranged.value.tune;
}

function shelved(id: string): Tune {
  return tuneOf(SHELF.find((tune) => tune.id === id)?.abc ?? '');
}

const BARS: Readonly<Record<string, string>> = { repeat: ':|', final: '|]', double: '||' };

/** A part in letters: `|:` and `:|` repeats, `1.` an ending, `~` a pickup, `-` any measure. */
function signs(tune: Tune): readonly string[] {
  return printedParts({ tune }).map(({ letter, measures }) => {
    const words = measures.map(({ plain, options }) => {
      const ending = Array.isArray(options.ending) ? `${options.ending.join()}.` : '';
      const left = options.barLeft === 'repeat' ? '|:' : '';
      const right = BARS[options.barRight ?? ''] ?? '';
      return `${left}${ending}${plain.startsAt > 0 ? '~' : '-'}${right}`;
    });
    return `${letter} ${words.join('')}`;
  });
}

describe('a tune is printed as it is written', () => {
  test('a part that is played twice has repeat signs', () => {
    expect(signs(shelved('doodle'))).toEqual(['A |:--------:|', 'B |:--------:|']);
  });
  test('a pickup stands inside the repeat', () => {
    expect(signs(shelved('syne'))).toEqual(['A |:~--------:|']);
  });
  test('endings are numbered', () => {
    const abc = readFileSync(new URL('../../../data/abc/endings.abc', import.meta.url), 'utf8');
    for (const part of signs(tuneOf(abc)).filter((text) => text.includes('1.')))
      expect(part).toMatch(/\|:-+1\.-+:\|2\.-+(\|\||\|])$/);
    expect(signs(tuneOf(abc)).join()).toContain('1.');
  });
  test('a part that comes again later is not printed again', () => {
    expect(signs({ ...shelved('doodle'), form: ['A', 'B', 'A', 'B'] })).toEqual([
      'A --------||',
      'B --------|]',
    ]);
  });
});

describe('lines', () => {
  test.each([
    ['doodle', false, [4, 4]],
    ['doodle', true, [2, 2, 2, 2]],
    ['syne', false, [5, 4]],
    ['syne', true, [3, 2, 2, 2]],
  ])('%s, large: %s', (id, large, counts) => {
    const [part] = printedParts({ tune: shelved(id) });
    const lines = linesOf(part?.measures ?? [], perLine(large));
    expect(lines.map(({ length }) => length)).toEqual(counts);
  });

  test('what has more than four lines is not kept on one page', () => {
    const parts = printedParts({ tune: shelved('doodle') }).map(({ measures }) => measures);
    expect([isKept(parts, false), isKept(parts, true)]).toEqual([true, false]);
  });
});
