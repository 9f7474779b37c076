import type { Column } from '../../lib/passes/columns';
import type { Choice, PlanRequest } from '../../lib/passes/request';
import { RISE_PART, WEIGHTS } from '../../lib/passes/weights';

/** More than any order of a test board costs, so that repeats are avoided first. */
export const REPEAT_POINTS = 20_000;

type Term = readonly [number, string];
type Terms = readonly Term[];

/** An integer programme in the making, written down as CPLEX LP text. Every continuous variable is from 0. */
class Programme {
  readonly objective: [number, string][] = [];
  readonly rows: string[] = [];
  readonly binaries = new Set<string>();

  add(terms: Terms, relation: '>=' | '<=' | '=', right: number): void {
    const sums = new Map<string, number>();
    for (const [factor, name] of terms) sums.set(name, (sums.get(name) ?? 0) + factor);
    const text = sumText([...sums].map(([name, factor]) => [factor, name] as const));
    this.rows.push(` c${this.rows.length}: ${text} ${relation} ${right}`);
  }

  text(): string {
    return [
      'Minimize',
      ` obj: ${sumText(this.objective)}`,
      'Subject To',
      ...this.rows,
      'Binary',
      ` ${[...this.binaries].join(' ')}`,
      'End',
    ].join('\n');
  }
}

function sumText(terms: Terms): string {
  const parts = terms
    .filter(([factor]) => factor !== 0)
    .map(([factor, name]) => `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}`);
  return parts.length > 0 ? parts.join(' ') : '0 x_0_0_0';
}

interface Board {
  readonly request: PlanRequest;
  readonly columns: readonly Column[];
  readonly plainPasses: ReadonlySet<number>;
  readonly choices: readonly (readonly Choice[])[];
  readonly passes: readonly number[];
}

const x = (p: number, m: number, k: number) => `x_${p}_${m}_${k}`;

function cells(
  { choices }: Board,
  p: number,
  factor: (choice: Choice) => number,
  sign = 1,
): [number, string][] {
  return choices.flatMap((column, m) =>
    column.map((choice, k): [number, string] => [sign * factor(choice), x(p, m, k)]),
  );
}

function addSeats(programme: Programme, { columns, choices, passes }: Board): void {
  for (const [m, { seats, fixed }] of columns.entries()) {
    const column = choices[m] ?? [];
    for (const p of passes) {
      for (const k of column.keys()) programme.binaries.add(x(p, m, k));
      programme.add(
        [...column.keys()].map((k) => [1, x(p, m, k)]),
        '=',
        1,
      );
      const lock = fixed.get(p);
      if (lock !== undefined)
        programme.add(
          [
            [
              1,
              x(
                p,
                m,
                column.findIndex(({ id }) => id === lock),
              ),
            ],
          ],
          '=',
          1,
        );
    }
    for (const [k, { id }] of column.entries()) {
      const plays =
        seats.filter((seat) => seat === id).length +
        [...fixed.values()].filter((lock) => lock === id).length;
      programme.add(
        passes.map((p) => [1, x(p, m, k)]),
        '=',
        plays,
      );
    }
  }
}

/** Every join as it goes by, the repeats of a part each on its own, and from the end of a pass into the next. */
function addJoins(programme: Programme, { request, choices, passes }: Board): void {
  const { form, measures, joinCost } = request;
  const at = form.map((id) => measures.findIndex((measure) => measure.id === id));
  for (const p of passes)
    for (const [visit, a] of at.entries()) {
      const isLast = visit === at.length - 1;
      const q = isLast ? p + 1 : p;
      const b = at[isLast ? 0 : visit + 1] ?? 0;
      if (!passes.includes(q)) continue;
      const [from, to] = [choices[a] ?? [], choices[b] ?? []];
      const [idA, idB] = [form[visit] ?? form[0], form[isLast ? 0 : visit + 1] ?? form[0]];
      if (idA === undefined || idB === undefined) continue;
      const y = (i: number, j: number) => `y_${p}_${visit}_${i}_${j}`;
      for (const [i, one] of from.entries()) {
        for (const [j, other] of to.entries())
          programme.objective.push([WEIGHTS.join * joinCost(idA, one.id, idB, other.id), y(i, j)]);
        programme.add([...[...to.keys()].map((j): Term => [1, y(i, j)]), [-1, x(p, a, i)]], '=', 0);
      }
      for (const j of to.keys())
        programme.add(
          [...[...from.keys()].map((i): Term => [1, y(i, j)]), [-1, x(q, b, j)]],
          '=',
          0,
        );
    }
}

function addCurve(programme: Programme, board: Board): void {
  const { request, columns, plainPasses, passes } = board;
  const varied = passes.filter((p) => !plainPasses.has(p));
  const last = varied.includes(request.passes - 1) ? request.passes - 1 : undefined;
  const notesOf = ({ measure, seats, fixed }: Column) =>
    [...seats, ...varied.flatMap((p) => fixed.get(p) ?? [])].map(
      (id) => measure.choices.find((choice) => choice.id === id)?.busyness ?? 0,
    );
  const notes = varied.length < 2 ? [] : columns.map(notesOf);
  const spread = notes.reduce((sum, one) => sum + Math.max(...one) - Math.min(...one), 0);
  const step = varied.length < 2 ? 0 : Math.floor((RISE_PART * spread) / (varied.length - 1));
  const mean = Math.floor(notes.flat().reduce((a, b) => a + b, 0) / Math.max(1, varied.length));
  const rising = varied.filter((p) => p !== last);
  for (const [i, p] of rising.slice(1).entries()) {
    programme.objective.push([WEIGHTS.rise, `rise_${p}`]);
    programme.add(
      [
        [1, `rise_${p}`],
        ...cells(board, rising[i] ?? 0, (choice) => choice.busyness, -1),
        ...cells(board, p, (choice) => choice.busyness),
      ],
      '>=',
      step,
    );
  }
  for (const p of passes) {
    programme.objective.push([WEIGHTS.overload, `over_${p}`]);
    programme.add(
      [[1, `over_${p}`], ...cells(board, p, (choice) => choice.load, -1)],
      '>=',
      -request.capacity,
    );
  }
  if (last === undefined) return;
  programme.objective.push([WEIGHTS.strong, 'weak']);
  programme.add([[1, 'weak'], ...cells(board, last, (choice) => choice.busyness)], '>=', mean);
  for (const term of cells(board, last, (choice) => WEIGHTS.safe * choice.risk))
    programme.objective.push(term);
}

/** `late_g_p` is 1 while a family or proposer has not been heard by the end of pass p. */
function addEarly(programme: Programme, board: Board): void {
  const all = board.choices.flat();
  const groups = [
    ...[...new Set(all.flatMap((choice) => choice.families))].map((family) => ({
      weight: WEIGHTS.family,
      has: (choice: Choice) => choice.families.includes(family),
    })),
    ...[...new Set(all.flatMap((choice) => choice.author ?? []))].map((author) => ({
      weight: WEIGHTS.proposer,
      has: (choice: Choice) => choice.author === author,
    })),
  ];
  for (const [g, { weight, has }] of groups.entries())
    for (const p of board.passes.slice(0, -1)) {
      programme.objective.push([weight, `late_${g}_${p}`]);
      const heard = board.passes
        .filter((q) => q <= p)
        .flatMap((q) => cells(board, q, (choice) => (has(choice) ? 1 : 0)));
      programme.add([[1, `late_${g}_${p}`], ...heard], '>=', 1);
    }
}

function addRepeats(programme: Programme, { columns, choices, passes }: Board): void {
  const settled = passes.filter((p) => columns.every(({ fixed }) => fixed.has(p)));
  for (const p of passes) {
    if (settled.includes(p)) continue;
    programme.objective.push([REPEAT_POINTS, `same_${p}`]);
    for (const q of passes) {
      if (q === p || (q > p && !settled.includes(q))) continue;
      const alike = columns.map((_, m) => `alike_${p}_${q}_${m}`);
      for (const [m, column] of choices.entries())
        for (const k of column.keys())
          programme.add(
            [
              [1, alike[m] ?? ''],
              [-1, x(p, m, k)],
              [-1, x(q, m, k)],
            ],
            '>=',
            -1,
          );
      programme.add(
        [[1, `same_${p}`], ...alike.map((name): [number, string] => [-1, name])],
        '>=',
        1 - columns.length,
      );
    }
  }
}

/**
 * The order of passes as an integer programme, written from the rules in RULES.md and not from the program's own numbers: its least
 * objective is REPEAT_POINTS for each repeated pass and the cost of the best order.
 */
export function integerProgramme(
  request: PlanRequest,
  columns: readonly Column[],
  plainPasses: ReadonlySet<number>,
): string {
  const choices = columns.map(({ measure, seats, fixed }) => {
    const played = new Set([...seats, ...fixed.values()]);
    return measure.choices.filter((choice) => played.has(choice.id));
  });
  const passes = Array.from({ length: request.passes }, (_, p) => p);
  const board: Board = { request, columns, plainPasses, choices, passes };
  const programme = new Programme();
  addSeats(programme, board);
  addJoins(programme, board);
  addCurve(programme, board);
  addEarly(programme, board);
  addRepeats(programme, board);
  return programme.text();
}
