import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as v from 'valibot';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { Metrics } from '../../../server/metrics';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const read = (path: string) => readFileSync(join(ROOT, path), 'utf8');

/** Every metric that a server tells, with those that belong to a histogram. */
function toldNames(): ReadonlySet<string> {
  const metrics = new Metrics();
  metrics.noteRefusal('not-yours');
  const others = { heard: 1, blindForMs: 0 };
  const text = metrics.text({ rooms: 1, sockets: 1, boards: 1, uptimeSeconds: 1, others });
  metrics.stop();
  return new Set(
    text
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
      .map((line) => line.split(/[ {]/)[0] ?? ''),
  );
}

/** Names in a query that are metrics of ours or of the process. */
function metricsIn(query: string): readonly string[] {
  return query.match(/\b(?:passround|process)_[a-z_]+/g) ?? [];
}

const dashboard = v.object({
  title: v.string(),
  panels: v.array(
    v.object({
      title: v.string(),
      description: v.string(),
      targets: v.array(v.object({ expr: v.string() })),
    }),
  ),
});
const alerts = v.strictObject({
  groups: v.array(
    v.strictObject({
      name: v.string(),
      rules: v.array(
        v.strictObject({
          alert: v.string(),
          expr: v.string(),
          for: v.optional(v.pipe(v.string(), v.regex(/^\d+[sm]$/))),
          labels: v.strictObject({ severity: v.picklist(['page', 'look']) }),
          annotations: v.strictObject({ summary: v.string() }),
        }),
      ),
    }),
  ),
});

const board = v.parse(dashboard, JSON.parse(read('server/deploy/dashboard.json')));
const queries = board.panels.flatMap(({ title, targets }) =>
  targets.map(({ expr }) => [title, expr] as const),
);
const rules = v
  .parse(alerts, parse(read('server/deploy/alerts.yaml')))
  .groups.flatMap((group) => group.rules.map(({ alert, expr }) => [alert, expr] as const));

test.each([...queries, ...rules])('"%s" asks for metrics that there are: %s', (_, expr) => {
  const told = toldNames();
  const asked = metricsIn(expr);
  expect(asked.length).toBeGreaterThan(0);
  for (const name of asked) expect(told).toContain(name);
});

test('a metric that there is not would be found', () => {
  expect(metricsIn('rate(passround_made_up_total[5m]) / process_other')).toEqual([
    'passround_made_up_total',
    'process_other',
  ]);
  expect(toldNames()).not.toContain('passround_made_up_total');
});

test('every metric that a server tells is on the dashboard', () => {
  const asked = new Set(queries.flatMap(([, expr]) => metricsIn(expr)));
  const parts = /_(?:sum|count)$/;
  for (const name of toldNames()) if (!parts.test(name)) expect(asked).toContain(name);
});

test('what the operator is told to watch is there', () => {
  const told = toldNames();
  const named = metricsIn(read('server/deploy/OPERATING.md'));
  expect(named.length).toBeGreaterThan(4);
  for (const name of named)
    expect(
      [...told].some((each) => each === name || each.startsWith(`${name}_`)),
      name,
    ).toBe(true);
});
