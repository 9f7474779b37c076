import fc from 'fast-check';
import { arrange } from '../../lib/arrange/arrange';
import { readAbc } from '../../lib/formats/abc/read';
import type { StructureChange } from '../../lib/structure/change';
import { restructured } from '../../lib/structure/change';
import type { Layout } from '../../lib/structure/layout';
import { presentIn } from '../../lib/structure/layout';
import type { Tune } from '../../lib/tune';
import type { MeasureId } from '../../lib/units';

/** Tunes to edit: with and without pickups, endings and chords, in several meters. */
const TUNES: readonly string[] = [
  'X:1\nT:One\nM:4/4\nL:1/8\nK:G\nP:A\n|:"G"B2d2d2B2|"C"c2e2 "D"d2c2|"G"B2G2A2B2|1 "G"G6 D2:|2 "G"G8|]\n',
  'X:1\nT:Two\nM:6/8\nL:1/8\nK:D\nd|:"D"f2d d2f|"G"g2e e2g|"A"c2A A2c|"D"d3 d2 d:|\n|:"Bm"fed "A"edc|"D"d3 d2d:|\n',
  'X:1\nT:Three\nM:2/4\nL:1/16\nK:A\n|:"A"A2c2e2c2|"E"B2e2 B2e2|"A"A4 e4:|\n|:"D"f2d2A2d2|"A"e2c2A2c2:|\n',
  'X:1\nT:Four\nM:3/4\nL:1/8\nK:C\n"C"c2e2g2|"F"a2f2c2|"G"g2d2B2|"C"c6|\n',
];

/** A tune of the row, arranged. @throws RangeError if it cannot be (a mistake in the row) */
export function editedTune(index: number): Tune {
  const read = readAbc(TUNES[index % TUNES.length] ?? '');
  const arranged = read.ok ? arrange(read.value.melody) : read;
  if (!arranged.ok) throw new RangeError(JSON.stringify(arranged.problems));
  return arranged.value.tune;
}

/** The structure of a tune of which nothing is laid aside. */
export function layoutOf({ meter, parts, form }: Pick<Tune, 'meter' | 'parts' | 'form'>): Layout {
  return {
    meter,
    form,
    parts: parts.map(({ letter, measures }) => ({
      letter,
      entries: measures.map((measure) => ({ measure, aside: false })),
    })),
  };
}

/** A change to be made of whatever the tune is by then: its numbers choose among what is there. */
export interface Whim {
  readonly kind: StructureChange['kind'];
  readonly a: number;
  readonly b: number;
}

const KINDS: readonly StructureChange['kind'][] = [
  'add',
  'remove',
  'put-back',
  'split',
  'join',
  'length',
  'move',
  'times',
  'chord',
  'endings',
  'pickup',
  'no-pickup',
  'cut-part',
  'join-parts',
  'rename-part',
  'add-part',
  'remove-part',
  'order',
];

export const anyWhim: fc.Arbitrary<Whim> = fc.record({
  kind: fc.constantFrom(...KINDS, 'split' as const, 'join' as const, 'put-back' as const),
  a: fc.nat(1000),
  b: fc.nat(1000),
});

/** What a whim means for a structure; undefined where there is nothing that it could be about. */
export function changeFrom(
  layout: Layout,
  { kind, a, b }: Whim,
  fresh: () => MeasureId,
): StructureChange | undefined {
  const parts = layout.parts.filter((part) => presentIn(part).length > 0);
  const measures = parts.flatMap(presentIn);
  const aside = layout.parts.flatMap(({ entries }) =>
    entries.filter((entry) => entry.aside).map(({ measure }) => measure.id),
  );
  const plain = measures[a % measures.length];
  const part = parts[a % parts.length]?.letter;
  const { slot } = layout.meter;
  if (!plain || part === undefined) return undefined;
  const measure = plain.id;
  switch (kind) {
    case 'add':
      return {
        kind,
        beside: measure,
        where: b % 2 ? 'before' : 'after',
        copy: b % 3 === 0,
        id: fresh(),
      };
    case 'put-back': {
      const id = aside[a % Math.max(1, aside.length)];
      return id && { kind, measure: id };
    }
    case 'split':
      return { kind, measure, at: (b % 9) * slot };
    case 'length':
      return { kind, measure, ticks: ((b % 9) + 1) * slot };
    case 'move':
      return { kind, measure, by: b % 2 ? 1 : -1 };
    case 'times':
      return { kind, measure, times: [1, 2, 3].filter((time) => (b >> time) % 2 === 1) };
    case 'chord':
      return {
        kind,
        measure,
        at: (b % 9) * slot,
        symbol: ['', 'G', 'D7', 'Am', 'H?'][a % 5] ?? '',
      };
    case 'endings':
      return { kind, measure, ids: measures.map(fresh) };
    case 'pickup':
      return { kind, part, slots: b % 6, id: fresh() };
    case 'rename-part':
      return { kind, part, to: 'ABCDEFXYZ'[b % 9] ?? 'Z' };
    case 'add-part':
      return { kind, id: fresh() };
    case 'order':
      return {
        kind,
        form: Array.from({ length: (b % 5) + 1 }, (_, i) => 'ABCD'[(a + i * b) % 4] ?? 'A'),
      };
    case 'remove':
    case 'join':
    case 'cut-part':
      return { kind, measure };
    case 'no-pickup':
    case 'join-parts':
    case 'remove-part':
      return { kind, part };
  }
}

/** Names for new measures, one after the other. */
export function namesFrom(prefix: string): () => MeasureId {
  let next = 0;
  return () => `${prefix}${next++}` as MeasureId;
}

/** The structure of a tune of the row after a row of changes, those that are refused left out. */
export function edited(index: number, row: readonly Whim[]): Layout {
  const fresh = namesFrom('n');
  return row.reduce(
    (layout, whim) => {
      const change = changeFrom(layout, whim, fresh);
      const made = change && restructured(layout, change);
      return made?.ok ? made.value.layout : layout;
    },
    layoutOf(editedTune(index)),
  );
}
