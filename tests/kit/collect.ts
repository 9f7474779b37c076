import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Collects now what nobody holds any more. @throws Error if this Node cannot be asked to */
export function collectGarbage(): void {
  setFlagsFromString('--expose_gc');
  const collect: unknown = runInNewContext('gc');
  if (typeof collect !== 'function') throw new Error('this Node cannot be asked to collect');
  collect();
}
