import { describe, expect, test } from 'vitest';
import { checkPicking } from '../../../lib/hands/picking';
import type { MeterName } from '../../../lib/rhythm';
import { bar } from '../../kit/tab';

function codes(meter: MeterName, text: string): string {
  return checkPicking(bar(meter, text))
    .map(({ code, where }) => `${code} ${where.stroke}`)
    .join(', ');
}

// The hand's law and the bum-ditty in each meter: common practice, no source.
describe('the picking hand', () => {
  test.each([
    ['4/4', 's3 . b123 t5 | s1 . b123 t5'],
    ['2/2', 's3 t4 s2 t5 | s1 t5 b123 t5'],
    ['2/4', 's3 . b123 t5 | s1 . b123 t5'],
    ['3/4', 's3 . b123 t5 | b123 t5'],
    ['6/8', 's3 b123 t5 | s1 b123 t5'],
    ['4/4', 'r h3.2 b123 t5 | s1 p1 b123 t5'],
  ] as const)('%s %s alternates', (meter, text) => expect(codes(meter, text)).toBe(''));

  test.each([
    ['4/4', 't5 . b123 t5 | s1 . b123 t5', 'thumb-on-down-slot 0'],
    ['4/4', 's3 s3 b123 t5 | s1 . b123 t5', 'finger-on-up-slot 1'],
    ['4/4', 's3 . b123 x123 | s1 . b123 t5', 'finger-on-up-slot 2'],
    ['4/4', 's3~120 t5~120 . b123 t5', 'between-slots 1'],
    ['4/4', 's12 . b123 t5 | s1 . b123 t5', 'one-string-only 0'],
    ['4/4', 's3 . b1 t5 | s1 . b123 t5', 'brush-needs-strings 1'],
    ['4/4', 's3 t1 b123 t5 | s1 . b123 t5', 'thumb-on-first-string 1'],
    ['6/8', 's3 t5 b123 | s1 b123 t5', 'thumb-on-down-slot 1, finger-on-up-slot 2'],
  ] as const)('%s %s does not: %s', (meter, text, problems) =>
    expect(codes(meter, text)).toBe(problems),
  );

  test('a pickup of one slot lies where the hand comes up', () => {
    const pickup = { startsAt: 1680 };
    expect(checkPicking(bar('4/4', 't4', pickup))).toEqual([]);
    expect(checkPicking(bar('4/4', 's4', pickup)).map(({ code }) => code)).toEqual([
      'finger-on-up-slot',
    ]);
  });
});
