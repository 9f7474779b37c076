import ts from 'typescript';
import { everyNode, lineAt, type Source } from './source';
import type { Rule, Violation } from './violation';

const MOST_LINES = 400;
/** Files whose default export Next reads by its name. */
const NEXT_FILES =
  /^app\/(?:.*\/)?(?:page|layout|template|loading|error|global-error|not-found|default|icon|apple-icon|opengraph-image|manifest|robots|sitemap)\.tsx?$/;
const CONFIG_FILES = /^[^/]+\.config\.(?:ts|mjs|js)$/;
const NEXT_ERROR_FILES = /^app\/(?:.*\/)?(?:global-)?error\.tsx$/;
const YJS_ROOTS = new Set(['getMap', 'getArray', 'getText', 'getXmlElement', 'getXmlFragment']);

/** `'use client'` stands on islands, and where Next asks for it. */
export const clientStandsOnIslands: Rule = (sources) =>
  sources
    .filter(({ path }) => !path.startsWith('app/_islands/') && !NEXT_ERROR_FILES.test(path))
    .flatMap((source) =>
      source.tree.statements
        .filter((statement) => isDirective(statement, 'use client'))
        .map((statement) =>
          violation(source, statement, "'use client' stands only in app/_islands and error.tsx"),
        ),
    );

/** Only shared/board opens the named parts of a Yjs document. */
export const yjsKeysStayInTheBoard: Rule = (sources) =>
  sources
    .filter(({ path }) => /^(?:lib|shared|server|app)\//.test(path))
    .filter(({ path }) => !path.startsWith('shared/board/'))
    .flatMap((source) =>
      nodesWhere(source, (node) => {
        if (!ts.isCallExpression(node) || !ts.isPropertyAccessExpression(node.expression))
          return undefined;
        const method = node.expression.name.text;
        return YJS_ROOTS.has(method) ? `${method}() is for shared/board alone` : undefined;
      }),
    );

/** Exports have names, except where Next or a tool's configuration asks for a default; a declaration says what a package exports. */
export const exportsAreNamed: Rule = (sources) =>
  sources
    .filter(
      ({ path }) => !NEXT_FILES.test(path) && !CONFIG_FILES.test(path) && !path.endsWith('.d.ts'),
    )
    .flatMap((source) =>
      nodesWhere(source, (node) => (isDefaultExport(node) ? 'default export' : undefined)),
    );

/** No file is longer than 400 lines; data of the tests may be. */
export const filesAreShort: Rule = (sources) =>
  sources
    .filter(({ path }) => !path.startsWith('tests/data/'))
    .flatMap(({ path, tree }) => {
      const lines = tree.text.trimEnd().split('\n').length;
      return lines > MOST_LINES
        ? [{ path, line: MOST_LINES + 1, words: `has ${lines} lines, more than ${MOST_LINES}` }]
        : [];
    });

/** A violation for each node about which `judge` has something to say. */
export function nodesWhere(
  source: Source,
  judge: (node: ts.Node) => string | undefined,
): Violation[] {
  const found: Violation[] = [];
  everyNode(source.tree, (node) => {
    const words = judge(node);
    if (words !== undefined) found.push(violation(source, node, words));
  });
  return found;
}

function violation({ path, tree }: Source, node: ts.Node, words: string): Violation {
  return { path, line: lineAt(tree, node.getStart()), words };
}

function isDirective(statement: ts.Statement, directive: string): boolean {
  return (
    ts.isExpressionStatement(statement) &&
    ts.isStringLiteral(statement.expression) &&
    statement.expression.text === directive
  );
}

function isDefaultExport(node: ts.Node): boolean {
  if (ts.isExportAssignment(node)) return true;
  if (ts.isExportSpecifier(node)) return node.name.text === 'default';
  return (
    ts.canHaveModifiers(node) &&
    (ts.getModifiers(node) ?? []).some(({ kind }) => kind === ts.SyntaxKind.DefaultKeyword)
  );
}
