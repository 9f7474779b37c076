import jsQR from 'jsqr';
import { describe, expect, test } from 'vitest';
import type { KnownLink } from '../../server/link-code';
import { drawnCode, linkCode } from '../../server/link-code';

const PIXELS = 4;

/** The modules of a drawing as a picture in RGBA, by its path alone: runs of one row each. */
function pictureOf({ size, dark }: { readonly size: number; readonly dark: string }) {
  const side = size * PIXELS;
  const data = new Uint8ClampedArray(side * side * 4).fill(255);
  for (const [, x, y, length] of dark.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g))
    for (let row = 0; row < PIXELS; row += 1) {
      const from = (Number(y) * PIXELS + row) * side + Number(x) * PIXELS;
      for (let pixel = from; pixel < from + Number(length) * PIXELS; pixel += 1)
        data.fill(0, pixel * 4, pixel * 4 + 3);
    }
  return { data, side };
}

function scanned(text: string): string | undefined {
  const { data, side } = pictureOf(drawnCode(text));
  return jsQR(data, side, side)?.data;
}

const SECRET = 'Zk3-9_aBcDeFgHiJkLmNoPqRsTuVwXyZ';

// An independent decoder (jsQR 1.4.0) reads what was drawn.
describe('a code holds its text', () => {
  test.each([
    'http://127.0.0.1:3000/join/x',
    `https://board.example/join/${SECRET}`,
    `https://a-rather-long-name-of-a-place.in-the-hills.example:8443/join/${SECRET}${SECRET}`,
    `https://board.example/join/${SECRET.repeat(7)}`,
  ])('%s', (text) => {
    expect(scanned(text)).toBe(text);
  });
});

// Source: ISO/IEC 18004: a symbol of version v has 17 + 4 v modules a side, and four light ones around it.
test('a code has the size of a version and its quiet zone', () => {
  const { size, dark } = drawnCode(`https://board.example/join/${SECRET}`);
  expect((size - 2 * 4 - 17) % 4).toBe(0);
  const runs = [...dark.matchAll(/M(\d+) (\d+)h(\d+)/g)].map(([, x, y, n]) =>
    [x, y, n].map(Number),
  );
  expect(runs.length).toBeGreaterThan(size);
  for (const [x = 0, y = 0, length = 0] of runs) {
    expect(Math.min(x, y)).toBeGreaterThanOrEqual(4);
    expect(Math.max(x + length, y + 1)).toBeLessThanOrEqual(size - 4);
  }
});

const BOARD = 'abcdefghijkl';
const KNOWN: Readonly<Record<string, KnownLink>> = {
  joinjoin: { board: BOARD, role: 'join' },
  watchwatch: { board: BOARD, role: 'watch' },
  leadlead: { board: BOARD, role: 'lead' },
  elsewhere: { board: 'zzzzzzzzzzzz', role: 'join' },
};
const drawn = (link: string, publicUrl?: URL) =>
  linkCode(BOARD, link, publicUrl, async (secret) => KNOWN[secret]);

test.each([
  ['http://10.0.0.7:3000/join/joinjoin', undefined, 'join', 'http://10.0.0.7:3000/join/joinjoin'],
  [
    'http://x.example/join/watchwatch?a=1#b',
    undefined,
    'watch',
    'http://x.example/join/watchwatch',
  ],
  [
    'http://10.0.0.7:3000/join/joinjoin',
    'https://board.example/',
    'join',
    'https://board.example/join/joinjoin',
  ],
] as const)('%s is drawn, where people reach us', async (link, base, role, address) => {
  const code = await drawn(link, base === undefined ? undefined : new URL(base));
  if (!code.ok) throw new Error(code.problems[0]?.words);
  expect(code.value).toEqual({ role, address, ...drawnCode(address) });
});

test.each([
  ['http://x.example/join/leadlead', 'leads'],
  ['http://x.example/join/elsewhere', 'unknown-link'],
  ['http://x.example/join/madeup', 'unknown-link'],
  ['http://x.example/join/', 'no-link'],
  ['http://x.example/b/abcdefghijkl', 'no-link'],
  ['javascript://x.example/join/joinjoin', 'no-link'],
  ['joinjoin', 'no-link'],
  ['', 'no-link'],
  [`http://x.example/${'a'.repeat(300)}/../join/joinjoin`, 'no-link'],
])('%s is not drawn: %s', async (link, code) => {
  const refused = await drawn(link);
  if (refused.ok) throw new Error('it was drawn');
  expect(refused.problems.map((problem) => problem.code)).toEqual([code]);
  expect(refused.problems[0]?.words.length).toBeGreaterThan(20);
});
