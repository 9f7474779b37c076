import { isBuiltin } from 'node:module';
import type { Import, Source } from './source';
import type { Rule, Violation } from './violation';

/** The parts of the program that differ in what they may import; the longest that fits a path is its zone. */
const ZONES = [
  'lib',
  'shared',
  'server',
  'app',
  'app/_door',
  'app/_islands',
  'app/_parts',
  'app/_style',
] as const;
type Zone = (typeof ZONES)[number];

interface Floor {
  /** Zones it may import from. */
  readonly from: readonly Zone[];
  /** Zones it may import types from, too. */
  readonly typesFrom?: readonly Zone[];
  /** Packages, by name; `@scope/*` is a whole scope. */
  readonly packages: readonly string[];
  /** Whether Node's own modules are allowed. */
  readonly node?: true;
}

const BOARD_PACKAGES = ['yjs', 'y-protocols', 'lib0', 'valibot'];

/** The whole table: what is not listed here may not be imported. */
const FLOORS: Readonly<Record<Zone, Floor>> = {
  lib: { from: ['lib'], packages: ['abcjs', 'fflate', 'saxes'] },
  shared: { from: ['lib', 'shared'], packages: BOARD_PACKAGES },
  server: {
    from: ['lib', 'shared', 'server'],
    packages: [...BOARD_PACKAGES, 'ioredis', 'libsql', 'pg', 'qrcode-generator', 'ws'],
    node: true,
  },
  'app/_door': {
    // Values of `server` would be bundled and exist a second time beside the live ones.
    from: ['lib', 'shared', 'app/_door'],
    typesFrom: ['server', 'app/_islands'],
    packages: [...BOARD_PACKAGES, 'next', 'react', 'server-only'],
    node: true,
  },
  'app/_islands': {
    from: ['lib', 'shared', 'app/_islands', 'app/_style'],
    typesFrom: ['app', 'app/_parts'],
    packages: [...BOARD_PACKAGES, 'next', 'react', 'react-dom', 'y-indexeddb', 'y-websocket'],
  },
  'app/_parts': {
    from: ['lib', 'shared', 'app/_door', 'app/_islands', 'app/_parts', 'app/_style'],
    packages: ['next', 'react'],
  },
  'app/_style': { from: ['app/_style'], packages: ['@fontsource/*'] },
  app: {
    from: ['lib', 'shared', 'app', 'app/_door', 'app/_islands', 'app/_parts', 'app/_style'],
    packages: ['@fontsource/*', 'next', 'react', 'valibot'],
  },
};

/** Single files that may import a package which their floor may not. */
const EXCEPTIONS: Readonly<Record<string, readonly string[]>> = {
  'server/main.ts': ['next'],
  // At build time: the audio thread's script is an entry of its own.
  'app/sound/worklet.js/route.ts': ['esbuild'],
};

/** Imports inside the project point down, as the table says. */
export const importsPointDown: Rule = (sources) =>
  eachImport(sources, (zone, { target, kind, specifier }) => {
    if (target === undefined) return undefined;
    const floor = FLOORS[zone];
    const other = zoneOf(target);
    if (other !== undefined && floor.from.includes(other)) return undefined;
    if (other !== undefined && kind === 'type' && floor.typesFrom?.includes(other))
      return undefined;
    return `${zone} may not import ${specifier} (${other ?? 'outside the program'})`;
  });

/** Packages and Node's own modules are those of the table. */
export const packagesAreListed: Rule = (sources) =>
  eachImport(sources, (zone, { target, specifier }, { path }) => {
    if (target !== undefined) return undefined;
    const floor = FLOORS[zone];
    if (isBuiltin(specifier))
      return floor.node ? undefined : `${zone} may not import Node's ${specifier}`;
    const name = packageName(specifier);
    const allowed = [...floor.packages, ...(EXCEPTIONS[path] ?? [])];
    if (allowed.some((entry) => entry === name || entry === `${name.split('/')[0]}/*`))
      return undefined;
    return `${zone} may not import the package ${name}`;
  });

function eachImport(
  sources: readonly Source[],
  judge: (zone: Zone, imported: Import, source: Source) => string | undefined,
): Violation[] {
  return sources.flatMap((source) => {
    const zone = zoneOf(source.path);
    if (zone === undefined) return [];
    return source.imports.flatMap((imported) => {
      const words = judge(zone, imported, source);
      return words === undefined ? [] : [{ path: source.path, line: imported.line, words }];
    });
  });
}

function zoneOf(path: string): Zone | undefined {
  return ZONES.filter((zone) => path === zone || path.startsWith(`${zone}/`)).at(-1);
}

function packageName(specifier: string): string {
  return specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');
}
