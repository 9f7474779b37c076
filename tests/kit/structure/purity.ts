import ts from 'typescript';
import { nodesWhere } from './habits';
import { everyNode, type Source } from './source';
import type { Rule } from './violation';

/** Names that reach out of the program: clock, randomness, page, process, network, console. */
const OUTSIDE = new Set([
  'AudioContext',
  'Buffer',
  'OfflineAudioContext',
  'WebSocket',
  'Worker',
  'XMLHttpRequest',
  'cancelAnimationFrame',
  'clearInterval',
  'clearTimeout',
  'console',
  'crypto',
  'document',
  'fetch',
  'global',
  'globalThis',
  'indexedDB',
  'localStorage',
  'navigator',
  'performance',
  'process',
  'queueMicrotask',
  'requestAnimationFrame',
  'require',
  'self',
  'sessionStorage',
  'setImmediate',
  'setInterval',
  'setTimeout',
  'window',
]);

/** `lib` answers from its arguments alone: no clock, no unseeded randomness, nothing of the page, process or network. */
export const libIsPure: Rule = (sources) =>
  sources
    .filter(({ path }) => path.startsWith('lib/'))
    .flatMap((source) => {
      const own = declaredNames(source);
      return nodesWhere(source, (node) => {
        const reach = outsideReach(node);
        return reach === undefined || own.has(reach) ? undefined : `lib may not use ${reach}`;
      });
    });

function outsideReach(node: ts.Node): string | undefined {
  if (ts.isPropertyAccessExpression(node)) {
    const chain = `${node.expression.getText()}.${node.name.text}`;
    return chain === 'Date.now' || chain === 'Math.random' ? chain : undefined;
  }
  if ((ts.isNewExpression(node) || ts.isCallExpression(node)) && isNamed(node.expression, 'Date'))
    return (node.arguments?.length ?? 0) === 0 || ts.isCallExpression(node) ? 'Date()' : undefined;
  return ts.isIdentifier(node) && OUTSIDE.has(node.text) && isRead(node) ? node.text : undefined;
}

/** Whether an identifier stands for a value, rather than naming a member, a label or a type. */
function isRead(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent)) return parent.expression === node;
  if (ts.isPropertyAssignment(parent)) return parent.initializer === node;
  if (ts.isShorthandPropertyAssignment(parent)) return true;
  return !ts.isTypeNode(parent) && !ts.isTypeElement(parent) && !ts.isClassElement(parent);
}

function isNamed(node: ts.Node, name: string): boolean {
  return ts.isIdentifier(node) && node.text === name;
}

/** Names that the file gives to something of its own; a local `window` is no page. */
function declaredNames({ tree }: Source): Set<string> {
  const names = new Set<string>();
  everyNode(tree, (node) => {
    const declares =
      ts.isVariableDeclaration(node) ||
      ts.isParameter(node) ||
      ts.isFunctionDeclaration(node) ||
      ts.isBindingElement(node) ||
      ts.isImportSpecifier(node);
    if (declares && node.name && ts.isIdentifier(node.name)) names.add(node.name.text);
  });
  return names;
}
