import { chordSigns } from '../../../lib/engrave/frame';
import type { MeasureOptions } from '../../../lib/engrave/measure';
import type { Part } from '../../../lib/tune';
import type { MeasureId, ParticipantId } from '../../../lib/units';
import { measuresOf } from '../../../shared/board/plan-to-play';
import { countedAs, isProposedBy } from '../../../shared/board/same';
import type { BallotId, Board, Person, Variant } from '../../../shared/board/schema';
import { tallyOf } from '../../../shared/board/tally';
import { MAX_VARIANTS } from '../../../shared/board/values';
import type { Presence } from '../../../shared/wire/presence';

/** What the board page shows, worked out of the board's values: pure questions, no screen. */

/** What somebody is called here: their name, or a plain word for one who has not said it. */
export function nameOf(people: readonly Person[], id: ParticipantId): string {
  const person = people.find((one) => one.id === id);
  if (person?.name) return person.name;
  return person?.role === 'lead' ? 'the leader' : 'somebody';
}

/** One or two letters for a ring: first letters of the first two words of a name. */
export function initialsOf(name: string): string {
  const words = name.split(/\s+/).filter((word) => word.length > 0);
  const letters = words.slice(0, 2).map((word) => [...word][0] ?? '');
  return letters.join('').toLocaleUpperCase() || '?';
}

export interface VotesView {
  /** How many approve each ballot id. */
  readonly tally: ReadonlyMap<string, number>;
  /** What I approve. */
  readonly mine: ReadonlySet<BallotId>;
  /** What of that I approve only in another browser that a leader counts as mine; it is taken back there. */
  readonly elsewhere: ReadonlySet<BallotId>;
}

export function votesView(board: Board, me: ParticipantId): VotesView {
  const mine = board.approvals[countedAs(board, me)] ?? [];
  const here = new Set(board.apart[me] ?? mine);
  return {
    tally: tallyOf(board),
    mine: new Set(mine),
    elsewhere: new Set(mine.filter((id) => !here.has(id))),
  };
}

export function variantsOf(board: Board, measure: MeasureId): readonly Variant[] {
  return board.variants.filter((variant) => variant.measure === measure);
}

/** Has somebody put forward as much as counts? What is hidden or laid aside counts, too. */
export function hasPutForwardAll(board: Board, me: ParticipantId): boolean {
  const { variants, orders, laidAside } = board;
  const all = [...variants, ...orders.hidden, ...laidAside.flatMap((one) => one.variants)];
  return all.filter((variant) => isProposedBy(variant, me)).length >= MAX_VARIANTS;
}

/** What is said to somebody who has. */
export const PUT_FORWARD_ALL = `You have put forward ${MAX_VARIANTS} variants, which is as many as count. Take one back before you put another one forward.`;

/** The passes (from 1) in which a variant, or the plain measure, is played in the published plan. */
export function passesWith(
  board: Board,
  measure: MeasureId,
  id: Variant['id'] | 'plain',
): readonly number[] {
  const passes = board.plan?.passes ?? [];
  return passes.flatMap((pass, index) => ((pass[measure] ?? 'plain') === id ? [index + 1] : []));
}

/** "pass 2", "passes 2 and 4", "passes 1, 3 and 5". */
export function passWords(passes: readonly number[]): string {
  if (passes.length === 0) return '';
  const last = passes.at(-1);
  if (passes.length === 1) return `pass ${last}`;
  return `passes ${passes.slice(0, -1).join(', ')} and ${last}`;
}

/** The others of these, each once: without me in whatever browser. */
export function othersOf(
  board: Pick<Board, 'people'>,
  here: readonly Presence[],
  me: ParticipantId,
): readonly ParticipantId[] {
  const ids = new Set(here.map(({ participant }) => countedAs(board, participant)));
  ids.delete(countedAs(board, me));
  return [...ids];
}

/** The others who are looking at a measure. */
export function lookersAt(
  board: Pick<Board, 'people'>,
  here: readonly Presence[],
  measure: MeasureId,
  me: ParticipantId,
): readonly ParticipantId[] {
  const looking = here.filter((one) => one.measure === measure);
  return othersOf(board, looking, me);
}

/** Number of each measure, from 1 over all parts; a pickup before a part is not counted and has 0. */
export function measureNumbers(board: Pick<Board, 'tune'>): ReadonlyMap<MeasureId, number> {
  const numbers = new Map<MeasureId, number>();
  let next = 1;
  for (const part of board.tune.parts) {
    for (const [index, { id, startsAt }] of part.measures.entries()) {
      const isPickup = index === 0 && startsAt > 0;
      numbers.set(id, isPickup ? 0 : next);
      if (!isPickup) next += 1;
    }
  }
  return numbers;
}

/** How far the vote has come: measures with at least one approval, of all. */
export function votedMeasures(board: Board): { readonly voted: number; readonly all: number } {
  const tally = tallyOf(board);
  const voted = new Set<string>();
  for (const id of tally.keys()) {
    if (id.startsWith('plain:')) voted.add(id.slice('plain:'.length));
    const variant = board.variants.find((one) => one.id === id);
    if (variant) voted.add(variant.measure);
  }
  return { voted: voted.size, all: measuresOf(board).length };
}

/** What a part's measures are drawn with beside their strokes, in order: bar lines, number, chord, the bracket of an ending. */
export function signsOf(
  part: Part,
  numbers: ReadonlyMap<MeasureId, number>,
): readonly MeasureOptions[] {
  return part.measures.map((plain, index) => {
    const { id, endings } = plain;
    const number = numbers.get(id) ?? 0;
    const before = part.measures[index - 1]?.endings;
    const goesOn = endings !== undefined && before?.join() === endings.join();
    const last = index === part.measures.length - 1;
    return {
      barLeft: index === 0 ? 'single' : 'none',
      barRight: last ? 'double' : 'single',
      ...chordSigns(plain),
      ...(number === 0 ? {} : { number }),
      ...(endings === undefined ? {} : { ending: goesOn ? 'continued' : endings }),
    };
  });
}
