import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const numbersIn = (text: string) => new Set(text.match(/\[P\d+\]/g) ?? []);
const RULES = readFileSync(new URL('../../../lib/passes/RULES.md', import.meta.url), 'utf8');
const listed = [...RULES.matchAll(/^- (\[P\d+\])/gm)].map((match) => match[1] ?? '');

const tested = numbersIn(
  ['unit', 'property', 'reference']
    .map((kind) => new URL(`../../${kind}/passes/`, import.meta.url))
    .flatMap((folder) => readdirSync(folder).map((file) => new URL(file, folder)))
    .filter(
      (file) => file.pathname.endsWith('.test.ts') && !file.pathname.endsWith('/rules.test.ts'),
    )
    .map((file) => readFileSync(file, 'utf8'))
    .join('\n'),
);

test('the rules are numbered from 1 without a gap', () =>
  expect(listed).toEqual(listed.map((_, i) => `[P${i + 1}]`)));

test('there are rules to test', () => expect(listed.length).toBeGreaterThan(0));

test.each(listed)('%s has a test named by it', (rule) => expect(tested).toContain(rule));

test('no test names a rule that is not listed', () =>
  expect([...tested].filter((rule) => !listed.includes(rule))).toEqual([]));
