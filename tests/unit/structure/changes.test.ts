import { describe, expect, test } from 'vitest';
import type { StructureChange } from '../../../lib/structure/change';
import { restructured } from '../../../lib/structure/change';
import type { Layout } from '../../../lib/structure/layout';
import { partsOf, tuneOf } from '../../../lib/structure/layout';
import { changeWords } from '../../../lib/structure/words';
import type { PlainMeasure } from '../../../lib/tune';
import { chordsOf, playOrder } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { layoutOf } from '../../kit/layouts';
import { bar } from '../../kit/tab';

const id = (name: string) => name as MeasureId;

function plain(
  name: string,
  text = 's3 . b123 t5 s1 . b123 t5',
  endings?: readonly number[],
): PlainMeasure {
  const { startsAt, ticks, strokes } = bar('4/4', text);
  return {
    id: id(name),
    startsAt,
    ticks,
    strokes,
    melody: [0, 960],
    ...(endings ? { endings } : {}),
  };
}

/** A part of four measures, played twice, and one of two, played once. */
const TUNE: Layout = layoutOf({
  meter: bar('4/4', 'r . . . . . . .').meter,
  parts: [
    { letter: 'A', measures: [plain('a1'), plain('a2'), plain('a3'), plain('a4')] },
    { letter: 'B', measures: [plain('b1'), plain('b2')] },
  ],
  form: ['A', 'A', 'B'],
});

/** "A a1 a2:1 | B b1 / A A B": parts with their measures (and times), then the order. Pickups and short ones with their slots. */
function written(layout: Layout): string {
  const parts = partsOf(layout).map(({ letter, measures }) =>
    [
      letter,
      ...measures.map(({ id: name, startsAt, ticks, endings }) => {
        const slots = ticks === 1920 ? '' : `(${startsAt / 240}+${ticks / 240})`;
        return `${name.length > 12 ? '*' : name}${slots}${endings ? `:${endings.join(',')}` : ''}`;
      }),
    ].join(' '),
  );
  return `${parts.join(' | ')} / ${layout.form.join(' ')}`;
}

function edited(...changes: readonly StructureChange[]): Layout {
  return changes.reduce((layout, change) => {
    const made = restructured(layout, change);
    if (!made.ok) throw new Error(made.problems.map(({ words }) => words).join(' '));
    return made.value.layout;
  }, TUNE);
}

const REMOVE_B: StructureChange = { kind: 'remove-part', part: 'B' };

describe('a change of the structure', () => {
  const rows: readonly (readonly [string, readonly StructureChange[], string])[] = [
    [
      'adds an empty measure before',
      [{ kind: 'add', beside: id('a2'), where: 'before', copy: false, id: id('x') }],
      'A a1 x a2 a3 a4 | B b1 b2 / A A B',
    ],
    [
      'adds a copy after',
      [{ kind: 'add', beside: id('b2'), where: 'after', copy: true, id: id('x') }],
      'A a1 a2 a3 a4 | B b1 b2 x / A A B',
    ],
    [
      'takes a measure out',
      [{ kind: 'remove', measure: id('a2') }],
      'A a1 a3 a4 | B b1 b2 / A A B',
    ],
    [
      'puts it back into its place',
      [
        { kind: 'remove', measure: id('a2') },
        { kind: 'remove', measure: id('a3') },
        { kind: 'put-back', measure: id('a2') },
      ],
      'A a1 a2 a4 | B b1 b2 / A A B',
    ],
    [
      'splits before a slot',
      [{ kind: 'split', measure: id('a1'), at: 1440 }],
      'A *(0+6) *(6+2) a2 a3 a4 | B b1 b2 / A A B',
    ],
    [
      'moves a measure over the edge of its part',
      [{ kind: 'move', measure: id('a4'), by: 1 }],
      'A a1 a2 a3 | B a4 b1 b2 / A A B',
    ],
    [
      'moves a measure inside its part',
      [{ kind: 'move', measure: id('a4'), by: -1 }],
      'A a1 a2 a4 a3 | B b1 b2 / A A B',
    ],
    [
      'plays a measure the first time only',
      [{ kind: 'times', measure: id('a4'), times: [1] }],
      'A a1 a2 a3 a4:1 | B b1 b2 / A A B',
    ],
    [
      'plays it every time again',
      [
        { kind: 'times', measure: id('a4'), times: [1] },
        { kind: 'times', measure: id('a4'), times: [2, 1] },
      ],
      'A a1 a2 a3 a4 | B b1 b2 / A A B',
    ],
    [
      'gives a part a second ending',
      [{ kind: 'endings', measure: id('a3'), ids: [id('x'), id('y')] }],
      'A a1 a2 a3:1 a4:1 x:2 y:2 | B b1 b2 / A A B',
    ],
    [
      'gives a part a pickup, for which its end makes room',
      [{ kind: 'pickup', part: 'A', slots: 2, id: id('x') }],
      'A x(6+2) a1 a2 a3 *(0+6) | B b1 b2 / A A B',
    ],
    [
      'gives both endings room for a pickup',
      [
        { kind: 'endings', measure: id('a4'), ids: [id('y')] },
        { kind: 'pickup', part: 'A', slots: 2, id: id('x') },
      ],
      'A x(6+2) a1 a2 a3 *(0+6):1 *(0+6):2 | B b1 b2 / A A B',
    ],
    [
      'takes the pickup away',
      [
        { kind: 'pickup', part: 'A', slots: 2, id: id('x') },
        { kind: 'no-pickup', part: 'A' },
      ],
      'A a1 a2 a3 a4 | B b1 b2 / A A B',
    ],
    [
      'begins a new part in the middle of one',
      [{ kind: 'cut-part', measure: id('a3') }],
      'A a1 a2 | B a3 a4 | C b1 b2 / A B A B C',
    ],
    [
      'puts parts together',
      [
        { kind: 'cut-part', measure: id('a3') },
        { kind: 'join-parts', part: 'A' },
      ],
      'A a1 a2 a3 a4 | C b1 b2 / A A C',
    ],
    [
      'gives a part another letter',
      [{ kind: 'rename-part', part: 'A', to: 'D' }],
      'B b1 b2 | D a1 a2 a3 a4 / D D B',
    ],
    [
      'adds a part, played at the end',
      [{ kind: 'add-part', id: id('x') }],
      'A a1 a2 a3 a4 | B b1 b2 | C x / A A B C',
    ],
    ['takes a part out', [REMOVE_B], 'A a1 a2 a3 a4 / A A'],
    [
      'puts a measure of a part that is gone back, and plays the part again',
      [REMOVE_B, { kind: 'put-back', measure: id('b1') }],
      'A a1 a2 a3 a4 | B b1 / A A B',
    ],
    [
      'plays the parts in another order',
      [{ kind: 'order', form: ['B', 'A'] }],
      'A a1 a2 a3 a4 | B b1 b2 / B A',
    ],
  ];
  test.each(rows)('%s', (_, changes, expected) => {
    expect(written(edited(...changes))).toBe(expected);
  });

  test('cuts a stroke that sounds over the place of a split: what would still sound is a rest', () => {
    const layout = edited({ kind: 'split', measure: id('a1'), at: 240 });
    const [first, second] = partsOf(layout)[0]?.measures ?? [];
    expect(first?.strokes).toEqual(bar('4/4', 's3').strokes);
    expect(second?.strokes).toEqual(bar('4/4', 'r b123 t5 s1 . b123 t5').strokes);
    expect([first?.melody, second?.melody]).toEqual([[0], [720]]);
  });

  test('two of one measure, one of two: the next split gives the same two measures again', () => {
    const cut: StructureChange = { kind: 'split', measure: id('a1'), at: 960 };
    const once = edited(cut);
    const first = partsOf(once)[0]?.measures[0]?.id ?? id('');
    const again = edited(cut, { kind: 'join', measure: first }, cut);
    expect(tuneOf(again)).toEqual(tuneOf(once));
  });
});

describe('chords of a measure', () => {
  const chord = (at: number, symbol: string): StructureChange => ({
    kind: 'chord',
    measure: id('a1'),
    at,
    symbol,
  });
  const rows: readonly (readonly [readonly StructureChange[], string])[] = [
    [[chord(0, 'G')], '0 G'],
    [[chord(960, 'D7'), chord(0, ' C ')], '0 C 960 D7'],
    [[chord(960, 'D7'), chord(960, 'Am')], '960 Am'],
    [[chord(0, 'G'), chord(960, 'D7'), chord(960, '')], '0 G'],
  ];
  test.each(rows)('%j: %s', (changes, expected) => {
    const [first] = partsOf(edited(...changes))[0]?.measures ?? [];
    const all = first ? chordsOf(first) : [];
    expect(all.map(({ at, symbol }) => `${at} ${symbol}`).join(' ')).toBe(expected);
  });
  test.each([
    [chord(0, 'H'), /names no chord/],
    [chord(1920, 'G'), /inside its measure/],
  ])('%j is refused', (change, words) => {
    const made = restructured(TUNE, change);
    expect(made.ok ? '' : made.problems[0]?.words).toMatch(words);
  });
});

describe('a change that cannot be is refused in words', () => {
  const everyMeasure: readonly StructureChange[] = [
    REMOVE_B,
    ...['a1', 'a2', 'a3'].map((name): StructureChange => ({ kind: 'remove', measure: id(name) })),
  ];
  const rows: readonly (readonly [readonly StructureChange[], StructureChange, string])[] = [
    [
      everyMeasure,
      { kind: 'remove', measure: id('a4') },
      'That is the last measure. A tune has at least one.',
    ],
    [
      [],
      { kind: 'split', measure: id('a1'), at: 0 },
      'A measure is split before a slot inside it. Choose a slot after the first.',
    ],
    [
      [],
      { kind: 'join', measure: id('a1') },
      'Together measure 1 and measure 2 are longer than a measure of 4/4. Shorten one of them first.',
    ],
    [
      [],
      { kind: 'join', measure: id('a4') },
      'After measure 4 the part ends, so there is nothing to join it with.',
    ],
    [[], { kind: 'length', measure: id('a1'), ticks: 2160 }, 'A measure of 4/4 is full with that.'],
    [
      [],
      { kind: 'move', measure: id('a1'), by: -1 },
      'It is the first measure of the tune already.',
    ],
    [
      [],
      { kind: 'times', measure: id('a1'), times: [] },
      'Then it would never be played. Take the measure out instead.',
    ],
    [
      [],
      { kind: 'times', measure: id('b1'), times: [2] },
      'Part B is played once, so there is no time 2 through it.',
    ],
    [
      [],
      { kind: 'endings', measure: id('b1'), ids: [id('x'), id('y')] },
      'Part B is played only once. Play it twice in the order of parts first, then it can end in two ways.',
    ],
    [
      [{ kind: 'endings', measure: id('a1'), ids: ['p', 'q', 'r', 's'].map(id) }],
      { kind: 'remove-part', part: 'Z' },
      'There is no part Z any more.',
    ],
    [
      [{ kind: 'endings', measure: id('a4'), ids: [id('x')] }],
      { kind: 'cut-part', measure: id('x') },
      'Time 1 through part B would play nothing at all. Let a measure of it be played that time.',
    ],
    [[], { kind: 'cut-part', measure: id('a1') }, 'Part A begins with this measure already.'],
    [
      [],
      { kind: 'join-parts', part: 'A' },
      'Part B is not always played right after part A, so they cannot be one part. Change the order of parts first.',
    ],
    [
      [],
      { kind: 'rename-part', part: 'A', to: 'B' },
      'There is a part B already. Take a letter that is free.',
    ],
    [
      [],
      { kind: 'pickup', part: 'A', slots: 5, id: id('x') },
      'A pickup has from one slot to half a measure.',
    ],
    [[], { kind: 'no-pickup', part: 'A' }, 'Part A begins on the beat: it has no pickup.'],
    [[], { kind: 'order', form: ['A', 'Q'] }, 'There is no part Q. The tune has A, B.'],
    [
      [],
      { kind: 'order', form: [] },
      'Write the parts in the order in which a pass plays them, like AABB.',
    ],
    [
      [],
      { kind: 'order', form: Array.from({ length: 33 }, () => 'A') },
      'A pass plays 32 parts at most, repeats counted.',
    ],
    [
      [{ kind: 'remove', measure: id('a2') }],
      { kind: 'split', measure: id('a2'), at: 960 },
      'That measure is no longer in the tune. Somebody has changed it.',
    ],
  ];
  test.each(rows)('%# after %j: %j', (before, change, words) => {
    const made = restructured(edited(...before), change);
    expect(made.ok ? 'it was done' : made.problems.map((one) => one.words)).toEqual([words]);
  });
});

describe('what was done is told in words', () => {
  const said = (change: StructureChange, before: Layout = TUNE): string => {
    const made = restructured(before, change);
    if (!made.ok) throw new Error('refused');
    return changeWords(change, before, made.value, (name) => (name === id('a2') ? 2 : 0));
  };
  const rows: readonly (readonly [StructureChange, string])[] = [
    [{ kind: 'remove', measure: id('a1') }, 'Measure 1 is out of the tune.'],
    [
      { kind: 'remove', measure: id('a2') },
      'Measure 2 is out of the tune. 2 variants of measure 2 wait aside and come back with it.',
    ],
    [
      { kind: 'split', measure: id('a2'), at: 960 },
      'Measure 2 is two measures now. 2 variants of measure 2 wait aside and come back with it.',
    ],
    [
      { kind: 'cut-part', measure: id('a3') },
      'Part B begins with measure 3; a pass plays the same as before. The parts after it have the next letters.',
    ],
    [
      { kind: 'times', measure: id('a4'), times: [2] },
      'Measure 4 is played at time 2 through its part only.',
    ],
    [{ kind: 'order', form: ['B', 'A'] }, 'A pass plays B A.'],
  ];
  test.each(rows)('%j: %s', (change, words) => expect(said(change)).toBe(words));

  test('variants that come back are counted', () => {
    const out = edited({ kind: 'remove', measure: id('a2') });
    expect(said({ kind: 'put-back', measure: id('a2') }, out)).toBe(
      'Measure 2 is back in the tune. 2 variants came back too.',
    );
  });

  test('a split and a join play as many measures as they should', () => {
    const cut = edited({ kind: 'split', measure: id('a1'), at: 960 });
    expect(playOrder(tuneOf(cut)).length).toBe(12);
  });
});
