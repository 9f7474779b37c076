import { readFileSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { nodeVersionProblem, OLDEST_NODE } from '../../../server/launch/node-version.mjs';

const project = (path: string) =>
  readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');

describe('the Node that runs us', () => {
  test.each(['20.9.0', '20.20.2', '21.0.0', '22.11.0', '100.0.0', '22.0.0-nightly2024'])(
    '%s is new enough',
    (version) => {
      expect(nodeVersionProblem(version)).toBeUndefined();
    },
  );

  test.each(['20.8.1', '18.19.1', '14.21.3', '9.11.2', '0.12.18'])(
    '%s is too old, and the sentence says so and what is needed',
    (version) => {
      const words = nodeVersionProblem(version);
      expect(words).toContain(`this is Node ${version};`);
      expect(words).toContain('needs Node 20.9 or later');
      expect(words).not.toContain('\n');
    },
  );

  test('the oldest one is the one that package.json names', () => {
    const { engines }: { engines: { node: string } } = JSON.parse(project('package.json'));
    expect(engines.node).toBe(`>=${OLDEST_NODE.major}.${OLDEST_NODE.minor}`);
  });
});

// Node 14 knows the whole of ECMAScript 2020, so what compiles to itself for that target can be read there.
describe('what an old Node reads before it is refused', () => {
  const emit = (text: string, target: ts.ScriptTarget) =>
    ts.transpileModule(text, { compilerOptions: { target, module: ts.ModuleKind.ESNext } })
      .outputText;
  const isOldSyntax = (text: string) =>
    emit(text, ts.ScriptTarget.ES2020) === emit(text, ts.ScriptTarget.ESNext);

  test.each(['server/launch/start.mjs', 'tests/run/test.mjs', 'server/launch/node-version.mjs'])(
    '%s has no newer syntax, and imports nothing else before the check',
    (path) => {
      const text = project(path);
      expect(isOldSyntax(text)).toBe(true);
      expect(text).not.toMatch(/^\s*await\b/m);
      const imported = [...text.matchAll(/^import .*'(.*)'/gm)].map((match) => match[1]);
      expect(imported.filter((name) => name?.endsWith('/node-version.mjs') !== true)).toEqual([]);
    },
  );

  test('newer syntax would be seen', () => {
    expect(isOldSyntax('a ||= b;')).toBe(false);
    expect(isOldSyntax('class A { a = 1; }')).toBe(false);
  });
});
