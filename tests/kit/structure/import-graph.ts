import type { Source } from './source';
import type { Rule } from './violation';

const ENDINGS = ['', '.ts', '.tsx', '.mjs', '.js'];

/** No file imports itself by way of others. Types and `import()` do not count: both sides can be read without the other. */
export const noCycles: Rule = (sources) => {
  const byPath = new Map(sources.map((source) => [source.path, source]));
  const done = new Set<string>();
  const cycles: string[][] = [];

  const visit = (source: Source, trail: readonly string[]): void => {
    const start = trail.indexOf(source.path);
    if (start >= 0) cycles.push([...trail.slice(start), source.path]);
    if (start >= 0 || done.has(source.path)) return;
    for (const next of valueImports(source, byPath)) visit(next, [...trail, source.path]);
    done.add(source.path);
  };
  for (const source of sources) visit(source, []);

  return cycles.map((cycle) => ({
    path: cycle[0] ?? '',
    line: 1,
    words: `imports itself: ${cycle.join(' -> ')}`,
  }));
};

/** Imports name files. A folder, or a file beside a folder of its own name, is found by bundlers but not by Node. */
export const importsNameFiles: Rule = (sources) => {
  const folders = new Set(
    sources.flatMap(({ path }) => {
      const names = path.split('/').slice(0, -1);
      return names.map((_, index) => names.slice(0, index + 1).join('/'));
    }),
  );
  return sources.flatMap(({ path, imports }) =>
    imports
      .filter(({ target, kind }) => target !== undefined && kind !== 'type' && folders.has(target))
      .map(({ specifier, line }) => ({ path, line, words: `imports the folder ${specifier}` })),
  );
};

function valueImports(source: Source, byPath: ReadonlyMap<string, Source>): Source[] {
  return source.imports.flatMap(({ target, kind }) => {
    if (target === undefined || kind !== 'value') return [];
    const found = ENDINGS.map((ending) => byPath.get(target + ending)).find(Boolean);
    return found === undefined ? [] : [found];
  });
}
