import { readdir } from 'node:fs/promises';
import { cpus } from 'node:os';
import { fileURLToPath, pathToFileURL } from 'node:url';

/** One measured number of a benchmark. */
export interface Measure {
  readonly what: string;
  readonly value: number;
  /** As it is to be printed: "ms", "edits/s", "times". */
  readonly unit: string;
  /** The limit or the rival it is held against, in the same unit. */
  readonly against?: { readonly what: string; readonly value: number };
}

/** What a file `*.bench.ts` in this folder exports. */
export interface Bench {
  readonly name: string;
  readonly run: () => Promise<readonly Measure[]>;
}

/** A table of measures as lines of text: what, value, what it is held against, and value divided by that. */
export function measureTable(measures: readonly Measure[]): string[] {
  const rows = measures.map(({ what, value, unit, against }) => [
    what,
    `${rounded(value)} ${unit}`,
    against ? `${against.what} ${rounded(against.value)} ${unit}` : '',
    against ? `x ${rounded(value / against.value)}` : '',
  ]);
  const widths = [0, 1, 2, 3].map((column) =>
    Math.max(0, ...rows.map((row) => row[column]?.length ?? 0)),
  );
  return rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}

function rounded(value: number): string {
  return value.toLocaleString('en', { maximumSignificantDigits: 4 });
}

function isBench(module: unknown): module is Bench {
  return (
    typeof module === 'object' &&
    module !== null &&
    'name' in module &&
    typeof module.name === 'string' &&
    'run' in module &&
    typeof module.run === 'function'
  );
}

/** Runs every benchmark beside this file whose name contains `wanted`, one after the other, and prints their tables. */
async function main(wanted: string): Promise<void> {
  const here = new URL('.', import.meta.url);
  const files = (await readdir(here)).filter(
    (file) => file.endsWith('.bench.ts') && file.includes(wanted),
  );
  if (files.length === 0) throw new RangeError(`no benchmark here is called "${wanted}"`);
  const cores = cpus();
  console.log(`Node ${process.versions.node}, ${cores.length} x ${cores[0]?.model ?? 'unknown'}`);
  for (const file of files.sort()) {
    const module: unknown = await import(new URL(file, here).href);
    if (!isBench(module)) throw new TypeError(`${fileURLToPath(new URL(file, here))} is no Bench`);
    console.log(`\n${module.name}\n${measureTable(await module.run()).join('\n')}`);
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  await main(process.argv[2] ?? '');
