import type { FamilyId } from '../embellish/family';
import type { Patch } from './patch';
import { follows } from './patch';

/** A patch with what it promises, see `promiseOf`. */
export interface Promising {
  readonly patch: Patch;
  readonly promise: number;
}

/** Patches that change different strokes, in the order of the strokes, with their mean promise. */
export interface Combination {
  readonly patches: readonly Patch[];
  readonly promise: number;
}

/**
 * Patches that are put together at most; each has a bit of a number.
 * Source: measured, so that a measure takes a few ms.
 */
const PATCHES = 30;
/** Combinations of each size that go on to the next. Source: measured, as above. */
const BEAM = 24;

/** The best patches, the best one of each family among them. */
function best(all: readonly Promising[]): readonly Promising[] {
  const sorted = [...all].sort((a, b) => b.promise - a.promise);
  const seen = new Set<FamilyId>();
  const firsts = sorted.filter(({ patch: { family } }) => {
    if (seen.has(family)) return false;
    seen.add(family);
    return true;
  });
  return [...new Set([...firsts, ...sorted])].slice(0, PATCHES);
}

/** A set of patches as bits, with the sum of what they promise. */
interface Chosen {
  readonly bits: number;
  readonly sum: number;
}

/** For each patch the bits of those that change strokes which it changes too, itself among them. */
function clashesOf(patches: readonly Promising[]): readonly number[] {
  return patches.map(({ patch }) =>
    patches.reduce((bits, { patch: other }, i) => {
      const apart = follows(patch, other) || follows(other, patch);
      return apart ? bits : bits | (1 << i);
    }, 0),
  );
}

/**
 * Combinations of 1 to `most` patches that change different strokes, the most promising of each size. The search keeps a
 * beam of each size, so that the best pair is found, and larger ones mostly.
 */
export function combinationsOf(all: readonly Promising[], most: number): readonly Combination[] {
  const patches = best(all);
  const clashes = clashesOf(patches);
  const found: Chosen[] = [];
  let size: readonly Chosen[] = patches.map(({ promise }, i) => ({ bits: 1 << i, sum: promise }));
  for (let count = 1; count <= most; count++) {
    found.push(...size);
    const seen = new Set<number>();
    const next: Chosen[] = [];
    for (const { bits, sum } of size)
      for (const [i, { promise }] of patches.entries()) {
        const both = bits | (1 << i);
        if ((bits & (clashes[i] ?? 0)) !== 0 || seen.has(both)) continue;
        seen.add(both);
        next.push({ bits: both, sum: sum + promise });
      }
    size = next.sort((a, b) => b.sum - a.sum).slice(0, BEAM);
  }
  return found.map(({ bits, sum }) => {
    const members = patches.filter((_, i) => (bits & (1 << i)) !== 0).map(({ patch }) => patch);
    return {
      patches: members.sort((a, b) => a.from - b.from),
      promise: sum / members.length,
    };
  });
}
