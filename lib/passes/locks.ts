import type { Problem } from '../result';
import type { MeasureId } from '../units';
import type { ChoiceId, Lock, PlanRequest } from './request';

/** Why locks cannot all be respected. `where` is the place of the lock in the list. */
export type LockProblem = Problem<
  'no-such-pass' | 'no-such-measure' | 'no-such-variant' | 'hidden-variant' | 'contradiction',
  { readonly lock: number }
>;

/** What stands where, after all locks: by pass (from 0) and measure. */
export interface Locked {
  /** The passes that are played plain throughout. */
  readonly plainPasses: ReadonlySet<number>;
  /** For each measure the locked choice by pass. */
  readonly cells: ReadonlyMap<MeasureId, ReadonlyMap<number, ChoiceId>>;
}

function problemOf(
  request: PlanRequest,
  lock: Lock,
): Pick<LockProblem, 'code' | 'words'> | undefined {
  const { passes, measures } = request;
  if (!Number.isInteger(lock.pass) || lock.pass < 1 || lock.pass > passes)
    return {
      code: 'no-such-pass',
      words: `A lock names pass ${lock.pass}, but the plan has passes 1 to ${passes}. Remove the lock or plan more passes.`,
    };
  if (lock.kind === 'plain-pass') return undefined;
  const at = measures.findIndex((measure) => measure.id === lock.measure);
  if (at < 0)
    return {
      code: 'no-such-measure',
      words: 'A lock names a measure that the tune no longer has. Remove the lock.',
    };
  const choice = measures[at]?.choices.find((one) => one.id === lock.choice);
  if (!choice)
    return {
      code: 'no-such-variant',
      words: `The lock on measure ${at + 1} of pass ${lock.pass} names a variant that is not one of that measure's. Remove the lock or choose another variant.`,
    };
  if (choice.hidden)
    return {
      code: 'hidden-variant',
      words: `The lock on measure ${at + 1} of pass ${lock.pass} names a hidden variant. Show the variant again or remove the lock.`,
    };
  return undefined;
}

/** Why a lock that is sound in itself goes against the plain passes or an earlier lock, in words. */
function againstOthers(
  lock: Extract<Lock, { kind: 'cell' }>,
  number: number,
  isPlain: boolean,
  plainFirst: boolean,
  before: ChoiceId | undefined,
): string | undefined {
  const cell = `measure ${number} of pass ${lock.pass}`;
  if (isPlain && lock.choice !== 'plain')
    return lock.pass === 1 && plainFirst
      ? `A variant is locked in ${cell}, but pass 1 is to be played plain. Remove the lock, or let pass 1 be varied.`
      : `A variant is locked in ${cell}, but that pass is to stay plain. Remove one of the two locks.`;
  if (before !== undefined && before !== lock.choice)
    return `Two locks want different things in ${cell}. Remove one of them.`;
  return undefined;
}

/** All locks put together, or everything that keeps them from being respected, in words. */
export function lockedCells(request: PlanRequest): {
  readonly locked: Locked;
  readonly problems: readonly LockProblem[];
} {
  const { locks, measures, plainFirst } = request;
  const problems: LockProblem[] = [];
  const sound = locks.map((lock, place) => {
    const problem = problemOf(request, lock);
    if (problem) problems.push({ ...problem, where: { lock: place } });
    return problem ? undefined : lock;
  });
  const plainPasses = new Set(plainFirst ? [0] : []);
  for (const lock of sound) if (lock?.kind === 'plain-pass') plainPasses.add(lock.pass - 1);
  const cells = new Map<MeasureId, Map<number, ChoiceId>>(
    measures.map(({ id }) => [id, new Map<number, ChoiceId>()]),
  );
  for (const [place, lock] of sound.entries()) {
    if (lock?.kind !== 'cell') continue;
    const column = cells.get(lock.measure);
    const number = measures.findIndex(({ id }) => id === lock.measure) + 1;
    const isPlain = plainPasses.has(lock.pass - 1);
    const words = againstOthers(lock, number, isPlain, plainFirst, column?.get(lock.pass - 1));
    if (words) problems.push({ code: 'contradiction', where: { lock: place }, words });
    else column?.set(lock.pass - 1, lock.choice);
  }
  return { locked: { plainPasses, cells }, problems };
}
