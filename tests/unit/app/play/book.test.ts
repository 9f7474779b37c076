import { expect, test } from 'vitest';
import { inOrder, leafOf } from '../../../../app/_islands/play/book';
import { bookOf, pagesOf } from '../../../../app/_parts/book';
import type { BoardId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';

const demo = readBoard('demo' as BoardId, demoDocuments());
if (!demo) throw new Error('the demo board cannot be read');
const [variant] = demo.variants;
if (!variant) throw new Error('the demo has no variant');
const plan = {
  passes: [{}, { [variant.measure]: variant.id }, {}],
  variants: { [variant.id]: { ...variant, by: '<b>Wren</b>' } },
};

test('a book holds every pass in playing order, and draws alike measures once', () => {
  const book = bookOf(demo, plan);
  expect(book.passes.length).toBe(3);
  for (const pass of book.passes) {
    const visits = pass.parts.flatMap(({ visits }) => visits);
    expect(visits.map(({ index }) => index)).toEqual(Array.from({ length: 32 }, (_, i) => i));
    for (const { drawing } of visits) expect(book.drawings[drawing]?.html).toContain('<svg');
  }
  expect(Object.keys(book.drawings).length).toBeLessThan(3 * 32);
});

test('only the pass with the variant names its proposer', () => {
  const named = bookOf(demo, plan).passes.map(
    ({ parts }) => parts.flatMap(({ visits }) => visits).filter(({ by }) => by).length,
  );
  expect(named[0]).toBe(0);
  expect(named[1]).toBeGreaterThan(0);
  expect(named[2]).toBe(0);
});

test('the same plan is drawn once, another plan anew', () => {
  expect(bookOf(demo, plan)).toBe(bookOf(demo, { ...plan }));
  expect(bookOf(demo, { passes: [{}], variants: {} })).not.toBe(bookOf(demo, plan));
});

test('pages of a book hold their own passes and drawings, and no others', () => {
  const pages = pagesOf(bookOf(demo, plan), 2, 3);
  expect(leafOf(pages, 1)).toBeUndefined();
  expect(leafOf(pages, 2)?.parts.length).toBeGreaterThan(0);
  expect(leafOf(pages, 4)).toBeUndefined();
  const one = pagesOf(bookOf(demo, plan), 1, 1);
  expect(Object.keys(one.drawings).length).toBeLessThan(Object.keys(pages.drawings).length);
});

test('a book that was fetched goes before the page, unless it is of another plan', () => {
  const [old, now] = [bookOf(demo, { passes: [{}], variants: {} }), bookOf(demo, plan)];
  const sent = pagesOf(now, 1, 2);
  expect(inOrder(sent, undefined)).toEqual([sent]);
  expect(inOrder(sent, now)).toEqual([now, sent]);
  expect(inOrder(sent, old)).toEqual([sent, old]);
});
