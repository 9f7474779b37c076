import { describe, expect, test } from 'vitest';
import { arrange } from '../../../../lib/arrange/arrange';
import { readAbc } from '../../../../lib/formats/abc/read';
import type { BoardId, MeasureId } from '../../../../lib/units';
import { DocumentFamily } from '../../../../shared/board/documents';
import type { Stretch } from '../../../../shared/board/passages';
import { passagesOf } from '../../../../shared/board/passages';
import { readBoard } from '../../../../shared/board/read';
import type { Board } from '../../../../shared/board/schema';
import { writeTune } from '../../../../shared/board/write';

/** A part with two endings and one without. */
const ABC = `X:1
T:Two Ends
M:4/4
L:1/4
K:G
P:A
|: G B d B | B A G A |1 G B d2 :|2 G4 |
P:B
|: d B d B | G4 :|
`;

function boardOf(abc: string): Board {
  const melody = readAbc(abc);
  if (!melody.ok) throw new Error(JSON.stringify(melody.problems));
  const tune = arrange(melody.value.melody);
  if (!tune.ok) throw new Error(JSON.stringify(tune.problems));
  const family = new DocumentFamily();
  writeTune(family.lead, tune.value.tune);
  const board = readBoard('testboard001' as BoardId, family);
  if (!board) throw new Error('no board');
  return board;
}

const board = boardOf(ABC);
const ids = board.tune.parts.flatMap(({ measures }) => measures.map(({ id }) => id));
/** Measures of the stretch by their place on paper, from 1. */
const heard = (stretch: Stretch) =>
  passagesOf(board, { kind: 'plain' }, stretch)
    .flat()
    .map(({ plain }) => ids.indexOf(plain.id) + 1);
const range = (from: number, to: number): Stretch => ({
  kind: 'measures',
  from: ids[from - 1] ?? ('' as MeasureId),
  to: ids[to - 1] ?? ('' as MeasureId),
});

describe('a stretch', () => {
  test.each<[string, Stretch, readonly number[]]>([
    ['once through plays repeats and endings', { kind: 'whole' }, [1, 2, 3, 1, 2, 4, 5, 6, 5, 6]],
    ['a part has its first ending', { kind: 'part', letter: 'A' }, [1, 2, 3]],
    ['a part without endings is whole', { kind: 'part', letter: 'B' }, [5, 6]],
    ['measures stand as on paper', range(1, 2), [1, 2]],
    ['measures up to the first ending have it', range(2, 3), [2, 3]],
    ['measures over both endings have the last', range(1, 6), [1, 2, 4, 5, 6]],
    ['measures may be named backwards', range(2, 1), [1, 2]],
    ['one measure is a stretch', range(4, 4), [4]],
    ['a part that is not there is nothing', { kind: 'part', letter: 'C' }, []],
    ['a measure that is not there is nothing', range(1, 99), []],
  ])('%s', (_, stretch, wanted) => {
    expect(heard(stretch)).toEqual(wanted);
  });
});

test('a pass that is not there is nothing', () => {
  expect(passagesOf(board, { kind: 'pass', pass: 7 }, { kind: 'whole' })).toEqual([]);
});

test('plain measures are not changed', () => {
  const pieces = passagesOf(board, { kind: 'plain' }, { kind: 'whole' }).flat();
  expect(pieces.every(({ changed, chosen }) => !changed && chosen === 'plain')).toBe(true);
});
