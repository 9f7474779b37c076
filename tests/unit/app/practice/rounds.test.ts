import { describe, expect, test } from 'vitest';
import { placeOf, roundsOf } from '../../../../app/_islands/practice/rounds';
import type { Settings } from '../../../../app/_islands/practice/settings';
import { firstSettings } from '../../../../app/_islands/practice/settings';
import { roundOf } from '../../../../app/_islands/sound/round';
import type { BoardId, VariantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import type { Rung } from '../../../../shared/board/ladder';
import { lessonOf } from '../../../../shared/board/lesson';
import { readBoard } from '../../../../shared/board/read';
import type { Board } from '../../../../shared/board/schema';

const read = readBoard('demoboard001' as BoardId, demoDocuments());
if (!read) throw new Error('no demo board');
const variant = read.variants[0];
if (!variant) throw new Error('the demo has no variant');
const measure = variant.measure;
/** The demo with two agreed passes: plain, then one variant. */
const board: Board = {
  ...read,
  plan: {
    ...(read.plan ?? {}),
    passes: [{}, { [measure]: variant.id }],
    variants: { [variant.id]: { measure, strokes: variant.strokes, by: 'Wren' } },
  },
};
const first: Settings = { ...firstSettings(60, 'A'), stretch: { kind: 'part', letter: 'A' } };
const chosen = (settings: Partial<Settings>) =>
  lessonOf(board, { ...first, ...settings }).map((passage) => passage.map(({ chosen }) => chosen));

describe('a lesson', () => {
  test('of the plain tune is one passage', () => {
    expect(chosen({})).toEqual([Array(8).fill('plain')]);
  });

  test('of a pass has its variants', () => {
    expect(chosen({ choice: { kind: 'pass', pass: 2 } })[0]).toContain(variant.id);
  });

  test('of all passes is a passage each', () => {
    expect(chosen({ choice: { kind: 'plan' } })).toHaveLength(2);
  });

  test('of only what changes leaves out the rest', () => {
    const changesOnly = true;
    expect(chosen({ choice: { kind: 'pass', pass: 2 }, changesOnly })).toEqual([[variant.id]]);
    expect(chosen({ choice: { kind: 'plan' }, changesOnly })).toEqual([[variant.id]]);
    expect(chosen({ choice: { kind: 'pass', pass: 1 }, changesOnly })).toEqual([]);
  });

  test('of a variant is that measure, or the plain one before it', () => {
    const choice = { kind: 'variant', variant: variant.id } as const;
    expect(chosen({ choice })).toEqual([[variant.id]]);
    expect(chosen({ choice, afterPlain: true })).toEqual([['plain', variant.id]]);
  });

  test('of a variant that was taken back is nothing', () => {
    const gone = 'nobodynobody.0000000000000000' as VariantId;
    expect(chosen({ choice: { kind: 'variant', variant: gone } })).toEqual([]);
  });
});

const start: Rung = { round: 0, tempo: 60 };
const rounds = (settings: Partial<Settings>) => {
  const all = { ...first, ...settings };
  return roundsOf(board, lessonOf(board, all), all, start)(roundOf);
};

describe('rounds', () => {
  test('go on for ever where they loop, else end', () => {
    expect(rounds({ loop: true })(99)).toBeDefined();
    expect(rounds({ loop: false })(0)).toBeDefined();
    expect(rounds({ loop: false })(1)).toBeUndefined();
  });

  test('are counted in once', () => {
    const counted = rounds({ leadIn: 'count' });
    // Two measures of count are four beats of a second.
    expect(counted(0)?.score.measures[0]).toBeCloseTo(4);
    expect(counted(1)?.score.measures[0]).toBe(0);
    expect(rounds({ leadIn: 'none' })(0)?.score.measures[0]).toBe(0);
    const potatoes = rounds({ leadIn: 'potatoes' })(0)?.score.events[0];
    expect(potatoes).toMatchObject({ kind: 'pluck', at: 0 });
  });

  test('say where each measure stands', () => {
    const [passage] = lessonOf(board, first);
    expect(rounds({})(0)?.places).toEqual(passage?.map(placeOf));
  });

  test('come in pairs where every second one is alone: the same passage heard, then played', () => {
    const paired = rounds({ choice: { kind: 'plan' }, alternate: true, loop: false });
    const heard = [0, 1, 2, 3].map((index) => paired(index));
    expect(heard.map((round) => round?.alone)).toEqual([false, true, false, true]);
    expect(heard[1]?.places).toEqual(heard[0]?.places);
    expect(heard[3]?.places).toEqual(heard[2]?.places);
    expect(heard[2]?.places).not.toEqual(heard[0]?.places);
    expect(paired(4)).toBeUndefined();
  });

  test('take tempo, swing and click as they are set', () => {
    expect(rounds({ swing: 0.6, click: false })(0)?.request).toMatchObject({
      tempo: 60,
      swing: 0.6,
      click: false,
    });
    const faster = rounds({ stepUp: true, step: 7, rounds: 1, goal: 70 });
    expect([0, 1, 2].map((index) => faster(index)?.request.tempo)).toEqual([60, 67, 70]);
  });
});
