import { expect, test } from 'vitest';
import { measureTable } from '../../bench/run';

test('a measure stands in one line with what it is held against and their ratio', () => {
  const lines = measureTable([
    { what: 'an edit to disk', value: 1.5, unit: 'ms', against: { what: 'limit', value: 6 } },
    { what: 'edits', value: 12_345.6, unit: 'edits/s' },
  ]);
  expect(lines).toEqual([
    'an edit to disk  1.5 ms          limit 6 ms  x 0.25',
    'edits            12,350 edits/s',
  ]);
});
