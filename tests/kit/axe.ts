import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from '@playwright/test';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeResults {
  readonly passes: readonly unknown[];
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** What axe-core finds against WCAG 2.2 A and AA, a line each; throws if it checked nothing. */
export async function faultsOf(page: Page): Promise<readonly string[]> {
  await page.evaluate(AXE);
  const results = await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: (where: Document, options: object) => Promise<AxeResults> };
    };
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
    return axe.run(document, { runOnly: { type: 'tag', values: tags } });
  });
  if (results.passes.length === 0) throw new Error('axe checked nothing');
  return results.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html} (${nodes.length})`);
}

/** How far the page is wider than its window, in px: 0 where nothing sticks out. */
export function overhang(page: Page): Promise<number> {
  return page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
}
