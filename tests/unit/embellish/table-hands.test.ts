import { describe, expect, test } from 'vitest';
import type { FamilyId } from '../../../lib/embellish/family';
import { offered } from './offered';

const REST = 's2 . b123 t5';
const first = (id: FamilyId, bumDitty: string, stroke = 0) =>
  offered(id, `${bumDitty} | ${REST}`, { stroke }).map((text) => text.split(' | ')[0]);

// Frets that a left hand reaches from the note struck: common practice, no source.
describe.each<[string, FamilyId, RegExp, readonly [string, readonly number[]][]]>([
  [
    'a hammer-on goes higher, by one to four frets, 1 and 2 being easy',
    'hammer-on',
    /^s3 h3\.(\d+) b123 t5$/,
    [['s3 . b123 t5', [2, 1, 3, 4]]],
  ],
  [
    'a pull-off goes lower, to the open string or by up to four frets',
    'pull-off',
    /^s3\.7 p3(?:\.(\d+))? b123 t5$/,
    [['s3.7 . b123 t5', [0, 5, 6, 4, 3]]],
  ],
  [
    'a slide away crosses one or two frets, up or down',
    'slide',
    /^s3\.7 l3\.(\d+) b123 t5$/,
    [['s3.7 . b123 t5', [9, 8, 5, 6]]],
  ],
])('%s', (_, id, pattern, rows) => {
  test.each(rows)('%s', (bumDitty, frets) => {
    const reached = first(id, bumDitty).flatMap((text) => {
      const match = pattern.exec(text ?? '');
      return match ? [Number(match[1] ?? 0)] : [];
    });
    expect(reached).toEqual(frets);
  });
});

// "b is 2, 3 or 4 and lies on the bass side of the string just struck": common practice, no source.
describe('the thumb drops to the bass side of the string just struck and nowhere else', () => {
  test.each([
    ['s1 . s1 t5', ['t2', 't3', 't4']],
    ['s2 . s2 t5', ['t3', 't4']],
    ['s3 . s3 t5', ['t4']],
    ['s4 . s4 t5', []],
  ] as const)('%s', (bumDitty, thumbs) => {
    expect(first('drop-thumb', bumDitty)).toEqual(
      thumbs.map((thumb) => bumDitty.replace('.', thumb)),
    );
  });

  test('patterns to practise: 1 2 1 5, 1 3 1 5, 2 3 2 5, and alternating inner strings 1 2 1 4', () => {
    expect(first('drop-thumb', 's1 . b123 t5')).toEqual(
      expect.arrayContaining(['s1 t2 s1 t5', 's1 t3 s1 t5']),
    );
    expect(first('drop-thumb', 's2 . b123 t5')).toContain('s2 t3 s2 t5');
    expect(first('drop-thumb', 's1 t2 s1 t5', 2)).toContain('s1 t2 s1 t4');
  });
});

// "thumb on odd slots only": common practice, no source.
test('double thumbing sounds the drone after every finger stroke of a bum-ditty, on the slots where the hand comes up', () => {
  expect(first('double-thumb', 's1 . s2 .')).toEqual(['s1 t5 s2 .', 's1 t5 s2 t5']);
  expect(first('double-thumb', 's1 . s2 .', 1)).toEqual(['s1 . s2 t5', 's1 t5 s2 t5']);
});
