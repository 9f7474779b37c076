import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const APP = join(import.meta.dirname, '..', '..', 'app');

/** A route as the app folder has it. */
export interface Route {
  /** "/b/[board]/play" */
  readonly pattern: string;
  readonly kind: 'page' | 'route';
  /** The methods that a route exports; a page is read. */
  readonly methods: readonly string[];
}

const METHODS = /export (?:async )?(?:function|const) (GET|HEAD|POST|PUT|PATCH|DELETE|OPTIONS)\b/g;

/** Every page and route of the app, read from its folder, so that a new one is among them. */
export function routesOfApp(): readonly Route[] {
  const files = readdirSync(APP, { recursive: true, encoding: 'utf8' });
  return files.flatMap((file): readonly Route[] => {
    const found = /^(?:(.*)\/)?(page\.tsx|route\.ts)$/.exec(file);
    if (!found) return [];
    const pattern = `/${found[1] ?? ''}`;
    if (found[2] === 'page.tsx') return [{ pattern, kind: 'page', methods: ['GET', 'HEAD'] }];
    const text = readFileSync(join(APP, file), 'utf8');
    const methods = [...text.matchAll(METHODS)].flatMap(([, method]) => method ?? []);
    return [{ pattern, kind: 'route', methods }];
  });
}

/** The path of a route with these values in the place of its names. @throws Error for a name without a value */
export function pathOf({ pattern }: Route, values: Readonly<Record<string, string>>): string {
  return pattern.replace(/\[(\w+)\]/g, (_, name: string) => {
    const value = values[name];
    if (value === undefined) throw new Error(`${pattern}: what stands for ${name}?`);
    return value;
  });
}
