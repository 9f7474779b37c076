import { isSettled } from './cost';
import type { Model } from './model';

/**
 * How many passes must repeat another one whatever the order; the truth may be more. Passes that are wholly fixed are left out. Of the passes that
 * play a choice in a measure, no more can differ than the other measures allow.
 */
export function leastRepeats(model: Model): number {
  const { passes, measures, first, counts, fixed } = model;
  const open = Array.from({ length: passes }, (_, p) => p).filter((p) => !isSettled(model, p));
  const plays = counts.slice();
  for (const p of open)
    for (let m = 0; m < measures; m += 1) {
      const choice = fixed[p * measures + m] ?? -1;
      if (choice >= 0) plays[choice] = (plays[choice] ?? 0) + 1;
    }
  const kinds = Array.from(
    { length: measures },
    (_, m) => plays.subarray(first[m], first[m + 1]).filter((count) => count > 0).length,
  );
  const different = kinds.map((_, m) => {
    const others = kinds.reduce(
      (most, kind, i) => (i === m ? most : Math.min(most * kind, passes)),
      1,
    );
    return plays
      .subarray(first[m], first[m + 1])
      .reduce((sum, count) => sum + Math.min(count, others), 0);
  });
  return Math.max(0, open.length - Math.min(open.length, ...different));
}
