import { describe, expect, test } from 'vitest';
import { installNeed } from '../../../server/launch/packages.mjs';

const lock = {
  packages: {
    '': { version: '0.1.0' },
    'node_modules/tune': { version: '1.0.0' },
    'node_modules/judge': { version: '2.0.0', dev: true },
    'node_modules/binary-for-others': { version: '3.0.0', optional: true },
  },
};
const tune = { 'node_modules/tune': { version: '1.0.0' } };
const judge = { 'node_modules/judge': { version: '2.0.0' } };
const wanted = 'linux-x64 abc';
const found = {
  lock,
  wanted,
  stamp: wanted,
  record: { packages: { ...tune, ...judge } },
  dev: true,
};

describe('packages are left as they are', () => {
  test.each([
    ['when all are there', found],
    ['after an install by hand, which leaves no stamp of ours', { ...found, stamp: undefined }],
    ['after an install by hand for a new lock file', { ...found, stamp: 'linux-x64 old' }],
    [
      'when only the unneeded ones for development lack',
      { ...found, record: { packages: tune }, dev: false },
    ],
  ])('%s', (_, state) => {
    expect(installNeed(state)).toBeUndefined();
  });
});

describe('packages are installed', () => {
  const newer = { packages: { ...judge, 'node_modules/tune': { version: '1.0.1' } } };
  test.each([
    [
      'on a clean clone',
      { ...found, stamp: undefined, record: undefined },
      'nothing is installed yet',
    ],
    [
      'after an install that was broken off',
      { ...found, record: undefined },
      'nothing is installed yet',
    ],
    [
      'when they came from another system',
      { ...found, stamp: 'win32-x64 abc' },
      'the packages here are for another kind of machine',
    ],
    [
      'when the lock file asks for another version',
      { ...found, stamp: 'linux-x64 old', record: newer },
      'package-lock.json has changed',
    ],
    [
      'when one was changed by hand',
      { ...found, record: newer },
      'node_modules/tune is missing or has another version',
    ],
    [
      'when tests need those for development',
      { ...found, record: { packages: tune } },
      'node_modules/judge is missing or has another version',
    ],
  ])('%s', (_, state, words) => {
    expect(installNeed(state)).toBe(words);
  });
});
