import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join, posix } from 'node:path';
import ts from 'typescript';

/** One import, export-from, `import()` or `require()` of a file. */
export interface Import {
  /** As written. */
  readonly specifier: string;
  /** Path below the project's folder for relative ones and `@/`, without regard to its extension; undefined for packages. */
  readonly target: string | undefined;
  /** `type` leaves no trace at run time; `dynamic` is loaded when the code gets there. */
  readonly kind: 'type' | 'value' | 'dynamic';
  /** Counted from 1. */
  readonly line: number;
}

/** A file of the project as the structural rules see it. */
export interface Source {
  /** Below the project's folder, with `/`. */
  readonly path: string;
  readonly tree: ts.SourceFile;
  readonly imports: readonly Import[];
}

const CODE = /\.(?:ts|tsx|mts|mjs|js|jsx)$/;

/** A file's imports and syntax tree. */
export function parseSource(path: string, text: string): Source {
  const tree = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  const kinds = importKinds(tree);
  const imports = ts.preProcessFile(text, true, true).importedFiles.map(({ fileName, pos }) => ({
    specifier: fileName,
    target: targetOf(path, fileName),
    kind: kinds.get(pos) ?? 'value',
    line: lineAt(tree, pos),
  }));
  return { path, tree, imports };
}

/** All code files in a folder of the project and below it. */
export function readSources(root: string, folder: string): Source[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => CODE.test(name) && statSync(join(root, folder, name)).isFile())
    .map((name) => {
      const path = posix.join(folder, name.replaceAll('\\', '/'));
      return parseSource(path, readFileSync(join(root, path), 'utf8'));
    });
}

/** The code files that lie in the project's folder itself, such as its configuration. */
export function readRootSources(root: string): Source[] {
  return readdirSync(root)
    .filter((name) => CODE.test(name) && !name.endsWith('.d.ts'))
    .map((name) => parseSource(name, readFileSync(join(root, name), 'utf8')));
}

/** Line of a position, counted from 1. */
export function lineAt(tree: ts.SourceFile, position: number): number {
  return tree.getLineAndCharacterOfPosition(position).line + 1;
}

/** Calls `visit` with every node of a tree, parents first. */
export function everyNode(tree: ts.Node, visit: (node: ts.Node) => void): void {
  visit(tree);
  ts.forEachChild(tree, (child) => everyNode(child, visit));
}

function targetOf(path: string, specifier: string): string | undefined {
  if (specifier.startsWith('@/')) return posix.normalize(specifier.slice(2));
  if (!specifier.startsWith('.')) return undefined;
  return posix.normalize(posix.join(posix.dirname(path), specifier));
}

/** By the position of the specifier: which imports are type-only, which dynamic. `import { type A }` still loads its module. */
function importKinds(tree: ts.SourceFile): Map<number, Import['kind']> {
  const kinds = new Map<number, Import['kind']>();
  everyNode(tree, (node) => {
    if (
      ts.isImportDeclaration(node) &&
      node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword
    )
      kinds.set(node.moduleSpecifier.getStart(), 'type');
    if (ts.isExportDeclaration(node) && node.isTypeOnly && node.moduleSpecifier)
      kinds.set(node.moduleSpecifier.getStart(), 'type');
    if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument))
      kinds.set(node.argument.literal.getStart(), 'type');
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const [specifier] = node.arguments;
      if (specifier) kinds.set(specifier.getStart(), 'dynamic');
    }
  });
  return kinds;
}
