import type { Model } from './model';
import type { State } from './state';

/** What pricing swaps needs of a model, and room to work in; made once a model. */
export interface Pricer {
  readonly state: State;
  /** Edges within a pass at each measure, as places in `model.edges`. */
  readonly edgesAt: readonly Int32Array[];
  /** The sum of the two measures of each edge, so that either end tells the other. */
  readonly ends: Int32Array;
  /** Edges into the next pass, as places in `model.edges`. */
  readonly overs: Int32Array;
  /** Places in `model.rises` of the pairs that a pass stands in. */
  readonly risesAt: readonly Int32Array[];
  /** For each edge: what changes if one of its ends changes places between the two passes and the other does not. */
  readonly edgeDelta: Float64Array;
  /** For each rise at the two passes: by how much it falls short now, and how that changes with a note moved to the earlier pass. */
  readonly short: Float64Array;
  readonly perNote: Float64Array;
  rises: number;
  readonly marks: Int32Array;
  /** Groups while a segment grows: moved to the earlier pass, and the pass in which they would be heard first. */
  readonly moved: Int32Array;
  readonly first: Int32Array;
}

export function pricerOf(state: State): Pricer {
  const { model } = state;
  const edges = [...model.edges.entries()];
  const numbers = (list: readonly (readonly [number, unknown])[]) =>
    Int32Array.from(list, ([at]) => at);
  return {
    state,
    edgesAt: Array.from({ length: model.measures }, (_, m) =>
      numbers(
        edges.filter(
          ([, { from, to, step }]) => step === 0 && from !== to && (from === m || to === m),
        ),
      ),
    ),
    ends: Int32Array.from(model.edges, ({ from, to }) => from + to),
    overs: numbers(edges.filter(([, { step }]) => step === 1)),
    risesAt: Array.from({ length: model.passes }, (_, p) =>
      numbers([...model.rises.entries()].filter(([, pair]) => pair.includes(p))),
    ),
    edgeDelta: new Float64Array(edges.length),
    short: new Float64Array(4),
    perNote: new Float64Array(4),
    rises: 0,
    marks: new Int32Array(model.passes),
    moved: new Int32Array(model.groups.length),
    first: new Int32Array(model.groups.length),
  };
}

function edgeCost(model: Model, e: number, a: number, b: number): number {
  const edge = model.edges[e];
  if (!edge) return 0;
  const start = model.first[edge.to] ?? 0;
  const width = (model.first[edge.to + 1] ?? 0) - start;
  return edge.costs[(a - (model.first[edge.from] ?? 0)) * width + b - start] ?? 0;
}

function priceEdges({ state, edgeDelta }: Pricer, p: number, q: number): void {
  const { order, model } = state;
  const { edges, measures } = model;
  for (let e = 0; e < edges.length; e += 1) {
    const edge = edges[e];
    if (!edge || edge.step === 1) continue;
    const pa = order[p * measures + edge.from] ?? 0;
    const pb = order[p * measures + edge.to] ?? 0;
    const qa = order[q * measures + edge.from] ?? 0;
    const qb = order[q * measures + edge.to] ?? 0;
    edgeDelta[e] =
      pa === qa || pb === qb
        ? 0
        : edgeCost(model, e, pa, qb) +
          edgeCost(model, e, qa, pb) -
          edgeCost(model, e, pa, pb) -
          edgeCost(model, e, qa, qb);
  }
}

function priceRises(pricer: Pricer, p: number, q: number): void {
  const { state, short, perNote } = pricer;
  const { model, notes } = state;
  pricer.rises = 0;
  for (const pass of [p, q])
    for (const r of pricer.risesAt[pass] ?? []) {
      const [before, after] = model.rises[r] ?? [0, 0];
      if (pass === q && (before === p || after === p)) continue;
      short[pricer.rises] = model.riseStep + (notes[before] ?? 0) - (notes[after] ?? 0);
      const to = before === p ? 1 : before === q ? -1 : 0;
      perNote[pricer.rises] = to + (after === p ? -1 : after === q ? 1 : 0);
      pricer.rises += 1;
    }
}

/** Makes ready to price swaps between passes p and q. */
export function pricePair(pricer: Pricer, p: number, q: number): void {
  priceEdges(pricer, p, q);
  priceRises(pricer, p, q);
}

/** What rise, strength and load cost at the two passes if notes and load move to p from q. */
export function passCost(
  { state, short, perNote, rises }: Pricer,
  p: number,
  q: number,
  notes: number,
  load: number,
): number {
  const { model } = state;
  const { weights, strong, capacity } = model;
  let missing = 0;
  for (let r = 0; r < rises; r += 1) {
    const now = (short[r] ?? 0) + (perNote[r] ?? 0) * notes;
    if (now > 0) missing += now;
  }
  const overP = (state.load[p] ?? 0) + load - capacity;
  const overQ = (state.load[q] ?? 0) - load - capacity;
  const weak = strong?.pass === q ? strong.notes - (state.notes[q] ?? 0) + notes : 0;
  return (
    weights.rise * missing +
    weights.overload * (Math.max(0, overP) + Math.max(0, overQ)) +
    weights.strong * Math.max(0, weak)
  );
}

/** The choice in a cell if measures i to j had changed places between p and q. */
function choiceIn(
  { order, model }: State,
  pass: number,
  m: number,
  p: number,
  q: number,
  inside: boolean,
): number {
  const row = !inside ? pass : pass === p ? q : pass === q ? p : pass;
  return order[row * model.measures + m] ?? 0;
}

/** What changes at the joints from pass to pass when measures i to j change places between p and q. */
export function overDelta(
  { state, overs }: Pricer,
  p: number,
  q: number,
  i: number,
  j: number,
): number {
  const { model } = state;
  let delta = 0;
  for (let k = 0; k < overs.length; k += 1) {
    const e = overs[k] ?? 0;
    const edge = model.edges[e];
    if (!edge) continue;
    const { from, to } = edge;
    if ((from < i || from > j) && (to < i || to > j)) continue;
    const fromIn = from >= i && from <= j;
    const toIn = to >= i && to <= j;
    for (let joint = 0; joint < 4; joint += 1) {
      const pass = joint === 0 ? p - 1 : joint === 1 ? p : joint === 2 ? q - 1 : q;
      if (pass < 0 || pass + 1 >= model.passes || (joint === 2 && pass === p)) continue;
      delta +=
        edgeCost(
          model,
          e,
          choiceIn(state, pass, from, p, q, fromIn),
          choiceIn(state, pass + 1, to, p, q, toIn),
        ) -
        edgeCost(
          model,
          e,
          choiceIn(state, pass, from, p, q, false),
          choiceIn(state, pass + 1, to, p, q, false),
        );
    }
  }
  return delta;
}

/** Moves one cell's groups to p from q (`by` 1) or away (`by` -1), and answers what that changes for being heard early. */
export function moveGroups(
  { state, moved, first }: Pricer,
  p: number,
  q: number,
  choice: number,
  by: 1 | -1,
): number {
  const { model, heard, firstHeard } = state;
  const groups = model.groupsOf[choice] ?? [];
  let delta = 0;
  for (let k = 0; k < groups.length; k += 1) {
    const group = groups[k] ?? 0;
    if ((firstHeard[group] ?? 0) < p) continue;
    const more = (moved[group] ?? 0) + by;
    moved[group] = more;
    const row = group * model.passes;
    let now = p;
    while (
      now < model.passes &&
      (heard[row + now] ?? 0) + (now === p ? more : now === q ? -more : 0) === 0
    )
      now += 1;
    delta += (now - (first[group] ?? 0)) * (model.groups[group]?.weight ?? 0);
    first[group] = now;
  }
  return delta;
}
