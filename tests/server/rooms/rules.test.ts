import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

test('each rule of a room has a test, and each test names a rule that is there', () => {
  const rules = readFileSync(join(ROOT, 'server/rooms/RULES.md'), 'utf8');
  const numbers = [...rules.matchAll(/^- \*\*\[(R\d+)\]\*\*/gm)].map(([, number]) => number);
  const folder = join(ROOT, 'tests/server/rooms');
  const tested = readdirSync(folder)
    .map((file) => readFileSync(join(folder, file), 'utf8'))
    .flatMap((text) => [...text.matchAll(/(?:test|describe)[^'"`]*['"`]\[(R\d+)\]/g)])
    .map(([, number]) => number);
  expect(numbers.length).toBeGreaterThan(10);
  expect(new Set(tested)).toEqual(new Set(numbers));
});
