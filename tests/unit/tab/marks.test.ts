import { describe, expect, test } from 'vitest';
import { containsOf, marksOf } from '../../../lib/tab/marks';
import { bar } from '../../kit/tab';

/** Marks in one line: letter and where it comes from, "-" for none. */
function marksText(text: string): string {
  return marksOf(bar('4/4', text))
    .map(({ letter, from }) => `${letter ?? '-'}${from === undefined ? '' : `<${from}`}`)
    .join(' ');
}

describe('marks of strokes', () => {
  test.each([
    ['s3 h3.2 b123 t5', '- H<0 - -', 'a hammer comes from the stroke before it on its string'],
    ['s1.2 p1 b123 t5', '- P<0 - -', 'a pull comes from the stroke before it on its string'],
    ['s3.2 l3.4 s1 t5', '- SL<0 - -', 'a slide comes from the stroke before it on its string'],
    ['s1~160 h1.2~160 p1~160', '- H<0 P<1', 'a pull after a hammer comes from the hammer'],
    ['b123 t5 s4 h2.1', '- - - H<0', 'a brush sounds all its strings'],
    ['s3 h2.1 b123 t5', '- H - -', 'a hammer on a string that nothing sounded comes from nowhere'],
    ['s3 r h3.2 t5', '- - H<0 -', 'a rest of the hands does not cut the relation'],
    ['s3 t5 x123 h3.2', '- - - H', 'a stopped hand ends what rang'],
    ['s3.2 k1 b123 t5', '- P - -', 'a pluck is marked P and comes from no stroke'],
    ['s1 t2 s1 t5', '- T - -', 'a thumb on an inner string is dropped, on the drone it is plain'],
    ['s3 t5 s2 t5', '- - - -', 'double thumbing needs no mark'],
  ])('%s -> %s: %s', (text, marks) => {
    expect(marksText(text)).toBe(marks);
  });
});

describe('what a measure contains', () => {
  test.each([
    ['4/4', 's3 . b123 t5 s3 . b123 t5', []],
    ['4/4', 's3 . s2 t5 s1 . b123 t5', []],
    ['4/4', 's3 h3.2 b123 t5 s1 t2 s1 t5', ['hammer-on', 'drop thumbing']],
    ['4/4', 's1 t2 s1 t5 s3 h3.2 b123 t5', ['hammer-on', 'drop thumbing']],
    ['4/4', 's3 t5 b123 t5 s3 t5 s1 t5', ['double thumbing']],
    ['4/4', 's3 . b123 t5 b123 t5 b123 t5', ['double thumbing']],
    ['4/4', 's1~160 h1.2~160 p1~160 b123 t5', ['hammer-on', 'pull-off', 'triplet']],
    ['4/4', 'r h2.1 b123 t5', ['hammer from nowhere', 'skip']],
    ['4/4', 'r . . .', []],
    ['4/4', 'r . . . s3 . b123 t5', []],
    ['4/4', 'r . s1 t5 s3 . b123 t5', ['skip']],
    ['4/4', 's3.2 k1 x123 t5', ['alternate-string pull-off', 'stopped brush']],
    ['2/4', 's3 t5 b123 t5 s3.2 l3.4 b123 t5', ['slide', 'double thumbing']],
    ['3/4', 's3 . b123 t5 b123 t5', []],
    ['6/8', 's3 b123 t5 s3 b123 t5', []],
  ] as const)('in %s, %s contains %j', (meter, text, contents) => {
    expect(containsOf(bar(meter, text))).toEqual(contents);
  });

  test('a pickup is judged by its place in the bar: a thumb there on slot 8 is plain', () => {
    expect(containsOf(bar('4/4', 's1 t5', { startsAt: 1440 }))).toEqual([]);
    expect(containsOf(bar('4/4', 's1 t5 b12 t5', { startsAt: 960 }))).toEqual(['double thumbing']);
  });
});
