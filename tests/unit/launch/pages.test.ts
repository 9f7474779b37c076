import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { buildInputs, inputsHash } from '../../../server/launch/pages.mjs';

let root: string;
const write = (path: string, text: string) => {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), text);
};

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'passround-pages-'));
  for (const path of [
    'app/b/[board]/page.tsx',
    'lib/pitch.ts',
    'shared/board/read.ts',
    'server/main.ts',
    'public/icon.svg',
    'next.config.ts',
    'postcss.config.mjs',
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'README.md',
    'tests/unit/pitch.test.ts',
    'node_modules/next/package.json',
  ])
    write(path, path);
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

test('the inputs of a build are the program, what configures it, and nothing else', () => {
  expect(buildInputs(root)).toEqual([
    'app/b/[board]/page.tsx',
    'lib/pitch.ts',
    'next.config.ts',
    'package-lock.json',
    'package.json',
    'postcss.config.mjs',
    'public/icon.svg',
    'server/main.ts',
    'shared/board/read.ts',
    'tsconfig.json',
  ]);
});

describe('pages are stale', () => {
  test.each<[string, () => void]>([
    ['after an edit in the music', () => write('lib/pitch.ts', 'other')],
    ['after an edit of a page', () => write('app/b/[board]/page.tsx', 'other')],
    ['after an edit in shared', () => write('shared/board/read.ts', 'other')],
    ['after an edit in server', () => write('server/main.ts', 'other')],
    ['after an edit of the configuration', () => write('next.config.ts', 'other')],
    ['after an edit of the styles', () => write('postcss.config.mjs', 'other')],
    ['after a change of packages', () => write('package-lock.json', 'other')],
    ['after a change of a picture', () => write('public/icon.svg', 'other')],
    ['when a file came, even an empty one', () => write('lib/tab/fill.ts', '')],
    ['when a file went', () => rmSync(join(root, 'lib/pitch.ts'))],
    [
      'when a file was renamed',
      () => renameSync(join(root, 'lib/pitch.ts'), join(root, 'lib/tuning.ts')),
    ],
    [
      'when two files changed places',
      () => {
        write('lib/pitch.ts', 'shared/board/read.ts');
        write('shared/board/read.ts', 'lib/pitch.ts');
      },
    ],
  ])('%s', (_, change) => {
    const before = inputsHash(root);
    change();
    expect(inputsHash(root)).not.toBe(before);
  });
});

describe('pages stay fresh', () => {
  test.each<[string, () => void]>([
    ['when a file is saved unchanged', () => write('lib/pitch.ts', 'lib/pitch.ts')],
    ['after an edit of a test', () => write('tests/unit/pitch.test.ts', 'other')],
    ['after an edit of the words for people', () => write('README.md', 'other')],
    ['when an editor leaves its files', () => write('lib/.pitch.ts.swp', 'other')],
  ])('%s', (_, change) => {
    const before = inputsHash(root);
    change();
    expect(inputsHash(root)).toBe(before);
  });
});
