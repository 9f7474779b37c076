import { expect, test } from 'vitest';
import { FAMILIES, familyById } from '../../../lib/embellish/all';

test('each family has its own id, name and letter, and is found by its id', () => {
  for (const field of ['id', 'name', 'letter'] as const)
    expect(new Set(FAMILIES.map((family) => family[field])).size).toBe(FAMILIES.length);
  for (const family of FAMILIES) expect(familyById(family.id)).toBe(family);
});

test('the five of a first workshop come first', () => {
  expect(FAMILIES.slice(0, 5).map(({ id }) => id)).toEqual([
    'hammer-on',
    'pull-off',
    'slide',
    'double-thumb',
    'drop-thumb',
  ]);
});
