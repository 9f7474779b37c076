import { join } from 'node:path';
import { expect, test } from 'vitest';
import { npmCommand, runQuietly } from '../../../server/launch/child.mjs';

const where = { cwd: process.cwd(), env: process.env };
const execPath = join('/node', 'bin', 'node');
const bundled = join('/node', 'lib', 'node_modules', 'npm', 'bin', 'npm-cli.js');
const besideNode = join('/node', 'bin', 'node_modules', 'npm', 'bin', 'npm-cli.js');

test.each([
  [
    'the npm that started us',
    { npm_execpath: '/own/npm-cli.js' },
    ['/own/npm-cli.js', bundled],
    '/own/npm-cli.js',
  ],
  [
    'not another tool that started us',
    { npm_execpath: '/own/pnpm.cjs' },
    ['/own/pnpm.cjs', bundled],
    bundled,
  ],
  ['the npm that came with Node', {}, [bundled], bundled],
  ['the npm beside Node on Windows', {}, [besideNode], besideNode],
])('npm is run by its script: %s', (_, env, there, script) => {
  const exists = (path: string) => there.includes(path);
  expect(npmCommand(['ci'], { env, execPath, exists })).toEqual({
    command: execPath,
    args: [script, 'ci'],
  });
});

test('an npm that is nowhere near is left to the shell', () => {
  const machine = { env: {}, execPath, exists: () => false };
  expect(npmCommand(['ci'], machine)).toEqual({ command: 'npm', args: ['ci'], shell: true });
});

test('a command ends with its code and all that it printed', async () => {
  const script = "console.log('out'); console.error('err'); process.exitCode = 3;";
  const ended = await runQuietly({ command: process.execPath, args: ['-e', script] }, where);
  expect(ended.code).toBe(3);
  expect(ended.output.split('\n').sort()).toEqual(['', 'err', 'out']);
});

test('a command that is not there ends with 127 and the reason', async () => {
  const ended = await runQuietly({ command: 'no-such-program-here', args: [] }, where);
  expect(ended.code).toBe(127);
  expect(ended.output).toContain('ENOENT');
});
