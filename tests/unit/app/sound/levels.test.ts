import { expect, test } from 'vitest';
import { FIRST_LEVELS, levelsFromText, mixOf } from '../../../../app/_islands/sound/levels';

test('sound starts low', () => {
  expect(FIRST_LEVELS.level).toBeLessThanOrEqual(0.3);
});

test.each([
  ['nothing', null],
  ['no JSON', '{'],
  ['something else', '[1]'],
  ['a level above full', JSON.stringify({ ...FIRST_LEVELS, level: 1.5 })],
  ['a level that is no number', JSON.stringify({ ...FIRST_LEVELS, level: 'loud' })],
  ['slower than a third', JSON.stringify({ ...FIRST_LEVELS, speed: 0.1 })],
])('%s is not taken for levels', (_, text) => {
  expect(levelsFromText(text)).toEqual(FIRST_LEVELS);
});

test('levels are kept as they were set', () => {
  const levels = { level: 0.8, click: 0, speed: 1 };
  expect(levelsFromText(JSON.stringify(levels))).toEqual(levels);
});

test('strings that are not wanted are at nothing', () => {
  expect(mixOf(FIRST_LEVELS, { melody: false, drone: true })).toMatchObject({
    melody: 0,
    drone: 1,
    level: FIRST_LEVELS.level,
  });
});
