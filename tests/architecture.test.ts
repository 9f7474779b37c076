import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { importsPointDown, packagesAreListed } from './kit/structure/floors';
import {
  clientStandsOnIslands,
  exportsAreNamed,
  filesAreShort,
  yjsKeysStayInTheBoard,
} from './kit/structure/habits';
import { importsNameFiles, noCycles } from './kit/structure/import-graph';
import { libIsPure } from './kit/structure/purity';
import { parseSource, readRootSources, readSources } from './kit/structure/source';
import { type Rule, violationLine } from './kit/structure/violation';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const FOLDERS = ['lib', 'shared', 'server', 'app', 'tests'];
const folders = FOLDERS.map((folder) => ({ folder, sources: readSources(ROOT, folder) }));
const sources = [...folders.flatMap((each) => each.sources), ...readRootSources(ROOT)];

const RULES: Readonly<Record<string, Rule>> = {
  'imports point down the floors': importsPointDown,
  'each floor imports only its listed packages': packagesAreListed,
  'no file imports itself by way of others': noCycles,
  'imports name files, not folders': importsNameFiles,
  "'use client' stands on islands only": clientStandsOnIslands,
  'lib answers from its arguments alone': libIsPure,
  'only shared/board spells Yjs keys': yjsKeysStayInTheBoard,
  'exports are named': exportsAreNamed,
  'no file is longer than 400 lines': filesAreShort,
};

describe('the program', () => {
  test.each(folders)('the rules saw files of $folder', ({ sources }) => {
    expect(sources.length).toBeGreaterThan(0);
  });

  test.each(Object.entries(RULES))('%s', (_, rule) => {
    expect(rule(sources).map(violationLine)).toEqual([]);
  });
});

type Files = Readonly<Record<string, string>>;
const found = (rule: Rule, files: Files) =>
  rule(Object.entries(files).map(([path, text]) => parseSource(path, text))).map(violationLine);
const one = (path: string, text: string): Files => ({ [path]: text });
const lines = (count: number) => 'export {};\n'.repeat(count);

describe('a planted violation is found', () => {
  test.each<[string, Rule, Files]>([
    ['lib imports shared', importsPointDown, one('lib/a.ts', "import { b } from '../shared/b';")],
    [
      'lib imports even a type of shared',
      importsPointDown,
      one('lib/a.ts', "import type { B } from '../shared/b';"),
    ],
    [
      'lib imports shared by the alias',
      importsPointDown,
      one('lib/a.ts', "import { b } from '@/shared/b';"),
    ],
    ['lib re-exports shared', importsPointDown, one('lib/a.ts', "export * from '../shared/b';")],
    ['shared imports server', importsPointDown, one('shared/a.ts', "import '../server/b';")],
    ['server imports app', importsPointDown, one('server/main.ts', "import '../app/page';")],
    ['lib imports tests', importsPointDown, one('lib/a.ts', "import '../tests/kit/b';")],
    [
      'an island loads server later',
      importsPointDown,
      one('app/_islands/play/view.tsx', "await import('../../../server/rooms/room');"),
    ],
    [
      'an island imports the door',
      importsPointDown,
      one('app/_islands/play/view.tsx', "import type { A } from '../../_door/board';"),
    ],
    [
      'an island imports a value of a page',
      importsPointDown,
      one('app/_islands/play/view.tsx', "import { type A } from '../../page';"),
    ],
    [
      'a page imports server',
      importsPointDown,
      one('app/b/[board]/page.tsx', "import { a } from '../../../server/links';"),
    ],
    [
      'a page imports a type of server',
      importsPointDown,
      one('app/page.tsx', "let a: import('../server/links').Link;"),
    ],
    [
      'the door loads server a second time',
      importsPointDown,
      one('app/_door/a.ts', "import { rooms } from '../../server/rooms/rooms';"),
    ],
    ['lib imports Node', packagesAreListed, one('lib/a.ts', "import 'node:fs';")],
    ['lib imports Node by its old name', packagesAreListed, one('lib/a.ts', "import 'fs';")],
    ['lib imports React', packagesAreListed, one('lib/a.ts', "import 'react/jsx-runtime';")],
    [
      'lib imports a type of Yjs',
      packagesAreListed,
      one('lib/a.ts', "import type * as Y from 'yjs';"),
    ],
    ['shared imports sockets', packagesAreListed, one('shared/a.ts', "import 'ws';")],
    ['server imports React', packagesAreListed, one('server/a.ts', "import 'react';")],
    ['server imports Next outside main', packagesAreListed, one('server/a.ts', "import 'next';")],
    [
      'an island imports Node',
      packagesAreListed,
      one('app/_islands/a/view.tsx', "import 'node:os';"),
    ],
    [
      'server-only outside the door',
      packagesAreListed,
      one('app/page.tsx', "import 'server-only';"),
    ],
    ['a package nobody listed', packagesAreListed, one('app/page.tsx', "import '@scope/thing/x';")],
    [
      'two files import each other',
      noCycles,
      { 'lib/a.ts': "import './b';", 'lib/b.ts': "import './a';" },
    ],
    [
      'three files in two folders import each other',
      noCycles,
      {
        'lib/a.ts': "export { b } from './tab/b';",
        'lib/tab/b.ts': "import '../c';",
        'lib/c.ts': "import { type A, a } from './a';",
      },
    ],
    [
      'a folder is imported',
      importsNameFiles,
      { 'lib/a.ts': "import './tab';", 'lib/tab/index.ts': '' },
    ],
    [
      'a file beside a folder of its name is imported',
      importsNameFiles,
      { 'server/a.ts': "import '../lib/tab';", 'lib/tab.ts': '', 'lib/tab/fill.ts': '' },
    ],
    ['a page is a client', clientStandsOnIslands, one('app/page.tsx', "'use client';")],
    ['a part is a client', clientStandsOnIslands, one('app/_parts/a.tsx', '"use client"\nlet a;')],
    ['the clock', libIsPure, one('lib/a.ts', 'export const a = () => Date.now();')],
    ['the time of day', libIsPure, one('lib/a.ts', 'export const a = () => new Date();')],
    ['randomness', libIsPure, one('lib/a.ts', 'export const a = Math.random() * 3;')],
    ['the console', libIsPure, one('lib/a.ts', "console.log('a');")],
    ['the process', libIsPure, one('lib/a.ts', 'export const a = [process.env.A];')],
    ['the page', libIsPure, one('lib/a.ts', 'export const a = { document };')],
    [
      'the server opens a map',
      yjsKeysStayInTheBoard,
      one('server/a.ts', "export const a = (doc) => doc.getMap('head');"),
    ],
    [
      'an island opens an array',
      yjsKeysStayInTheBoard,
      one('app/_islands/a/ctrl.ts', "room.doc.getArray<string>('a').push(['b']);"),
    ],
    ['a default function', exportsAreNamed, one('lib/a.ts', 'export default function a() {}')],
    [
      'a default value',
      exportsAreNamed,
      one('app/_parts/a.tsx', 'const a = 1;\nexport default a;'),
    ],
    ['a default by renaming', exportsAreNamed, one('shared/a.ts', 'export { a as default };')],
    [
      'a default of another file',
      exportsAreNamed,
      one('shared/a.ts', "export { default } from './b';"),
    ],
    ['a route handler by default', exportsAreNamed, one('app/a/route.ts', 'export default 1;')],
    ['401 lines', filesAreShort, one('lib/a.ts', lines(401))],
  ])('%s', (_, rule, files) => {
    expect(found(rule, files)).toHaveLength(1);
  });
});

describe('what is allowed is left alone', () => {
  test.each<[string, Rule, Files]>([
    ['shared imports lib', importsPointDown, one('shared/a.ts', "import { b } from '../lib/b';")],
    [
      'an island takes a type of a page',
      importsPointDown,
      one('app/_islands/a/view.tsx', "import type { A } from '../../page';"),
    ],
    [
      'the door takes a type of server',
      importsPointDown,
      one('app/_door/a.ts', "import type { Host } from '../../server/host';"),
    ],
    ['the entry starts Next', packagesAreListed, one('server/main.ts', "import next from 'next';")],
    ['server-only in the door', packagesAreListed, one('app/_door/a.ts', "import 'server-only';")],
    [
      'types in a circle',
      noCycles,
      { 'lib/a.ts': "import type { B } from './b';", 'lib/b.ts': "import './a';" },
    ],
    [
      'loading later in a circle',
      noCycles,
      { 'lib/a.ts': "await import('./b');", 'lib/b.ts': "import './a';" },
    ],
    [
      'an island is a client',
      clientStandsOnIslands,
      one('app/_islands/a/view.tsx', "'use client';"),
    ],
    [
      "Next's error page is a client",
      clientStandsOnIslands,
      one('app/b/error.tsx', "'use client';"),
    ],
    [
      'a window of samples',
      libIsPure,
      one('lib/a.ts', 'const window = [1];\nexport const a = window[0];'),
    ],
    [
      'a member called process',
      libIsPure,
      one('lib/a.ts', 'export const a = (b) => b.process({ self: 1 });'),
    ],
    ['a given date', libIsPure, one('lib/a.ts', 'export const a = (ms) => new Date(ms);')],
    ['the board opens a map', yjsKeysStayInTheBoard, one('shared/board/a.ts', "doc.getMap('a');")],
    ['a page by default', exportsAreNamed, one('app/b/[board]/page.tsx', 'export default 1;')],
    ['a configuration by default', exportsAreNamed, one('next.config.ts', 'export default {};')],
    ['400 lines', filesAreShort, one('lib/a.ts', lines(400))],
  ])('%s', (_, rule, files) => {
    expect(found(rule, files)).toEqual([]);
  });
});
