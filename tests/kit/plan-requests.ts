import type { ElectionRule } from '../../lib/passes/elect';
import type { Choice, ChoiceId, Lock, PlanMeasure, PlanRequest } from '../../lib/passes/request';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';

/** Random numbers from 0 to below `limit` that are the same for the same seed (Park and Miller). */
function draws(seed: number): (limit: number) => number {
  let state = (seed * 7919 + 1) % 2_147_483_647;
  for (let i = 0; i < 3; i += 1) state = (state * 48_271) % 2_147_483_647;
  return (limit) => {
    state = (state * 48_271) % 2_147_483_647;
    return Math.floor((state / 2_147_483_647) * limit);
  };
}

export interface BoardSize {
  readonly measures: number;
  readonly passes: number;
  readonly people: number;
  readonly variants: number;
  readonly rule?: ElectionRule;
  readonly carry?: boolean;
  readonly plainFirst?: boolean;
  readonly locks?: number;
  /** Are the measures two parts, each played twice? Else each is played once. */
  readonly repeated?: boolean;
  /** The greatest join cost, 40 unless given. */
  readonly joins?: number;
}

const FAMILIES = ['hammer-on', 'pull-off', 'slide', 'double-thumb', 'drop-thumb', 'added-brush'];

function randomChoices(m: number, size: BoardSize, draw: (limit: number) => number): Choice[] {
  const variants = Array.from({ length: size.variants }, (_, v): Choice => {
    const more = draw(5);
    return {
      id: `m${m}v${v}` as VariantId,
      author: `p${draw(size.people)}` as ParticipantId,
      families: [FAMILIES[draw(FAMILIES.length)] ?? '', FAMILIES[draw(FAMILIES.length)] ?? ''],
      busyness: 5 + more,
      load: 1 + more + draw(3),
      risk: draw(5),
      hidden: draw(12) === 0,
    };
  });
  return [{ id: 'plain', families: [], busyness: 5, load: 0, risk: 0 }, ...variants];
}

function randomBallot(choices: readonly Choice[], draw: (limit: number) => number): string[] {
  return choices.flatMap(({ id }) => (draw(3) === 0 ? [id] : []));
}

/** Locks that do not contradict each other: one a cell, none on a plain pass but "stays plain". */
function randomLocks(
  measures: readonly PlanMeasure[],
  { locks = 0, passes, plainFirst = true }: BoardSize,
  draw: (limit: number) => number,
): Lock[] {
  const cells = new Map<string, Lock>();
  const plain = new Set<number>();
  for (let i = 0; i < locks; i += 1) {
    const pass = (plainFirst ? 2 : 1) + draw(Math.max(1, passes - (plainFirst ? 1 : 0)));
    if (pass > passes) continue;
    const measure = measures[draw(measures.length)];
    const visible = measure?.choices.filter((choice) => !choice.hidden) ?? [];
    const choice = visible[draw(visible.length)];
    if (draw(6) === 0) plain.add(pass);
    else if (measure && choice)
      cells.set(`${pass} ${measure.id}`, {
        kind: 'cell',
        pass,
        measure: measure.id,
        choice: choice.id,
      });
  }
  return [
    ...[...cells.values()].filter((lock) => !plain.has(lock.pass)),
    ...[...plain].map((pass): Lock => ({ kind: 'plain-pass', pass })),
  ];
}

/** A board that nobody made: the same for the same seed and size. */
export function randomRequest(seed: number, size: BoardSize): PlanRequest {
  const draw = draws(seed);
  const measures = Array.from({ length: size.measures }, (_, m): PlanMeasure => {
    const choices = randomChoices(m, size, draw);
    const ballots = Array.from({ length: size.people }, () => randomBallot(choices, draw));
    return { id: `m${m}` as MeasureId, choices, ballots };
  });
  const ids = measures.map(({ id }) => id);
  const half = Math.ceil(ids.length / 2);
  const [a, b] = [ids.slice(0, half), ids.slice(half)];
  const hands = new Map<string, number>();
  const handOf = (measure: MeasureId, choice: ChoiceId) => {
    const key = `${measure} ${choice}`;
    const hand = hands.get(key) ?? (choice === 'plain' ? 0 : draw(size.joins ?? 40));
    hands.set(key, hand);
    return hand;
  };
  for (const { id, choices } of measures) for (const choice of choices) handOf(id, choice.id);
  return {
    measures,
    form: size.repeated ? [...a, ...a, ...b, ...b] : ids,
    passes: size.passes,
    plainFirst: size.plainFirst ?? true,
    rule: size.rule ?? 'phragmen',
    carry: size.carry ?? false,
    locks: randomLocks(measures, size, draw),
    capacity: Math.floor(size.measures * (2 + draw(3))),
    joinCost: (measureA, choiceA, measureB, choiceB) =>
      Math.abs(handOf(measureA, choiceA) - handOf(measureB, choiceB)),
  };
}
