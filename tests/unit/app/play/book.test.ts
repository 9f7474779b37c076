import { expect, test } from 'vitest';
import { inOrder, leafOf } from '../../../../app/_islands/play/book';
import { bookOf, pagesOf } from '../../../../app/_parts/book';
import type { BoardId, ParticipantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { roundTheCircle } from '../../../../shared/board/played';
import { readBoard } from '../../../../shared/board/read';
import type { Played } from '../../../../shared/board/schema';

const demo = readBoard('demo' as BoardId, demoDocuments());
if (!demo) throw new Error('the demo board cannot be read');
const [variant] = demo.variants;
if (!variant) throw new Error('the demo has no variant');
const plan = {
  passes: [{}, { [variant.measure]: variant.id }, {}],
  variants: { [variant.id]: { ...variant, by: '<b>Wren</b>' } },
};
const { tune } = demo;
const played: Played = { tune, plan };
const plain: Played = { tune, plan: { passes: [{}], variants: {} } };

test('a book holds every pass in playing order, and draws alike measures once', () => {
  const book = bookOf(played);
  expect(book.passes.length).toBe(3);
  for (const pass of book.passes) {
    const visits = pass.parts.flatMap(({ visits }) => visits);
    expect(visits.map(({ index }) => index)).toEqual(Array.from({ length: 32 }, (_, i) => i));
    for (const { drawing } of visits) expect(book.drawings[drawing]?.html).toContain('<svg');
  }
  expect(Object.keys(book.drawings).length).toBeLessThan(3 * 32);
});

test('only the pass with the variant names its proposer', () => {
  const named = bookOf(played).passes.map(
    ({ parts }) => parts.flatMap(({ visits }) => visits).filter(({ by }) => by).length,
  );
  expect(named[0]).toBe(0);
  expect(named[1]).toBeGreaterThan(0);
  expect(named[2]).toBe(0);
});

test('the same plan is drawn once, another plan anew', () => {
  expect(bookOf(played)).toBe(bookOf({ tune, plan: { ...plan } }));
  expect(bookOf(plain)).not.toBe(bookOf(played));
});

test('pages of a book hold their own passes and drawings, and no others', () => {
  const pages = pagesOf(bookOf(played), 2, 3);
  expect(leafOf(pages, 1)).toBeUndefined();
  expect(leafOf(pages, 2)?.parts.length).toBeGreaterThan(0);
  expect(leafOf(pages, 4)).toBeUndefined();
  const one = pagesOf(bookOf(played), 1, 1);
  expect(Object.keys(one.drawings).length).toBeLessThan(Object.keys(pages.drawings).length);
});

test('a book of what is shown goes before any other, and the whole one before the page', () => {
  const [old, now] = [bookOf(plain), bookOf(played)];
  const sent = pagesOf(now, 1, 2);
  expect(inOrder(now.name, sent, undefined)).toEqual([sent]);
  expect(inOrder(now.name, sent, now)).toEqual([now, sent]);
  expect(inOrder(now.name, sent, old)).toEqual([sent, old]);
  expect(inOrder(old.name, sent, old)).toEqual([old, sent]);
});

test('round the circle each measure says whose turn it is', () => {
  const { author } = variant;
  const circle = roundTheCircle({ ...demo, plan }, 'measure', [
    { id: author, name: 'Wren' },
    { id: 'x' as ParticipantId, name: 'Ivy' },
  ]);
  const visits = bookOf(circle).passes[0]?.parts.flatMap((part) => part.visits) ?? [];
  expect(visits.map(({ turn }) => turn?.name).slice(0, 4)).toEqual(['Wren', 'Ivy', 'Wren', 'Ivy']);
  expect(visits[0]).toMatchObject({ by: 'Wren', turn: { id: author, name: 'Wren' } });
  expect(visits[1]?.by).toBeUndefined();
});
