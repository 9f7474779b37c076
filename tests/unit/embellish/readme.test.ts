import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { FAMILIES } from '../../../lib/embellish/all';

const README = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');

test('README tells of every family, in order, and of no other', () => {
  const [, table = ''] = README.split('|---|---|---|\n');
  const rows = table.split('\n\n')[0]?.split('\n');
  expect(rows).toEqual(
    FAMILIES.map(({ name, letter, words }) => `| ${name} | ${letter} | ${words} |`),
  );
});
