import { expect, test } from 'vitest';
import { secondsWords } from '../../../lib/hands/seconds-words';

test.each([
  [10, 'no time'],
  [68, 'a fifteenth of a second'],
  [136, 'an eighth of a second'],
  [167, 'a sixth of a second'],
  [273, 'a quarter of a second'],
  [545, 'half a second'],
  [1000, 'a second'],
  [1500, '1.5 seconds'],
  [2100, '2 seconds'],
])('%i ms are %s', (ms, words) => {
  expect(secondsWords(ms)).toBe(words);
});
