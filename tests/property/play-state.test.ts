import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseMusic } from '../../app/_islands/play/music';
import { startedAt, withPause, withTempo } from '../../lib/transport/change';
import { isUnderWay, positionAt } from '../../lib/transport/place';
import { timelineOf } from '../../lib/tune';
import type { BoardId, ParticipantId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import type { DocumentFamily } from '../../shared/board/documents';
import { playedNamed, playStateOf } from '../../shared/board/play-state';
import {
  agreedOn,
  nameOfPlayed,
  playedOn,
  playedValueOf,
  roundTheCircle,
  stageOf,
  writeStart,
} from '../../shared/board/played';
import { readBoard } from '../../shared/board/read';
import { writeSame } from '../../shared/board/same';
import type { Board } from '../../shared/board/schema';
import { writeAgreed, writePlain, writeTransport } from '../../shared/board/write';
import { parseDown, readFrame, wordFrame } from '../../shared/wire/frame';
import { planOf } from '../kit/plan';

const ID = 'demo' as BoardId;
const WREN = 'demowren0001' as ParticipantId;
const FERN = 'demofern0002' as ParticipantId;
const NOBODY = 'abcdefghijkl' as ParticipantId;

const read = (documents: DocumentFamily): Board => {
  const board = readBoard(ID, documents);
  if (!board) throw new Error('the demo cannot be read');
  return board;
};

/** What leaders do on a board, in the order of the days when they play together. */
const DEEDS = {
  agree: ({ lead }: DocumentFamily, board: Board) => writeAgreed(lead, planOf(board)),
  'agree on two plain passes': ({ lead }: DocumentFamily) =>
    writeAgreed(lead, { passes: [{}, {}], variants: {} }),
  start: ({ lead }: DocumentFamily, board: Board) => {
    const played = agreedOn(board);
    const { length } = played.plan.passes;
    writeStart(lead, played, startedAt(timelineOf(board.tune), 0, 100, 1, length));
  },
  'go round the circle': ({ lead }: DocumentFamily, board: Board) => {
    const people = [WREN, FERN].map((id) => ({ id, name: id }));
    const played = roundTheCircle(board, 'measure', people);
    writeStart(lead, played, startedAt(timelineOf(board.tune), 0, 80, 1, 2));
  },
  'correct a measure': ({ lead }: DocumentFamily, board: Board) => {
    const [first] = board.tune.parts[0]?.measures ?? [];
    if (first) writePlain(lead, first.id, first.strokes.slice(1), []);
  },
  'press another tempo': ({ lead }: DocumentFamily, board: Board) =>
    writeTransport(lead, withTempo(board.transport, timelineOf(playedOn(board).tune), 9000, 140)),
  wait: ({ lead }: DocumentFamily, board: Board) =>
    writeTransport(lead, withPause(board.transport, timelineOf(playedOn(board).tune), 12_000)),
  stop: ({ lead }: DocumentFamily) => writeTransport(lead, { kind: 'stopped' }),
  'count two as one': ({ lead }: DocumentFamily) => writeSame(lead, WREN, FERN),
} as const;

/** A board after some of that. */
const boards = fc.array(fc.constantFrom(...Object.values(DEEDS)), { maxLength: 8 }).map((deeds) => {
  const documents = demoDocuments();
  for (const deed of deeds) deed(documents, read(documents));
  return read(documents);
});
const readers = fc.constantFrom(WREN, FERN, NOBODY);
const SETTINGS = { seed: 4, numRuns: 150 };

test('whoever follows by it is at every moment where the whole board says, and looks at the same passes', () => {
  fc.assert(
    fc.property(boards, fc.integer({ min: 0, max: 400_000 }), (board, nowMs) => {
      const { transport, going, agreed } = playStateOf(board, NOBODY);
      const stage = stageOf(board, nowMs);
      const position = positionAt(transport, going.timeline, nowMs);
      expect(position).toEqual(stage.position);
      const shown = isUnderWay(position) ? going : agreed;
      expect(shown.name).toBe(nameOfPlayed(stage.played));
      expect(shown.passes).toBe(stage.played.plan.passes.length);
      expect(going.circle).toBe(playedOn(board).circle !== undefined);
    }),
    SETTINGS,
  );
});

test('it is read as it was said, and said again as it was read', () => {
  fc.assert(
    fc.property(boards, readers, (board, reader) => {
      const state = playStateOf(board, reader);
      const frame = readFrame(wordFrame({ kind: 'play', state }));
      if (frame.kind !== 'word') throw new Error('it is no word');
      expect(parseDown(frame.text)).toEqual({ kind: 'play', state });
      expect(frame.text.length).toBeLessThan(4000);
    }),
    SETTINGS,
  );
});

test('somebody who is counted as another reads it as that one', () => {
  const documents = demoDocuments();
  DEEDS['count two as one'](documents);
  const board = read(documents);
  expect([WREN, FERN, NOBODY].map((id) => playStateOf(board, id).as)).toEqual([FERN, FERN, NOBODY]);
});

test('what is played is had by its name, note by note, and by no other', () => {
  fc.assert(
    fc.property(boards, (board) => {
      const { going, agreed } = playStateOf(board, NOBODY);
      for (const [{ name }, played] of [
        [going, playedOn(board)],
        [agreed, agreedOn(board)],
      ] as const) {
        const found = playedNamed(board, name);
        expect(found && parseMusic(JSON.parse(JSON.stringify(playedValueOf(found))))).toEqual(
          played,
        );
      }
      expect(playedNamed(board, '0123456789abcdef')).toBeUndefined();
    }),
    { ...SETTINGS, numRuns: 40 },
  );
});

test.each([
  ['a name that is none', { agreed: { name: 'x', passes: 1 } }],
  ['no pass at all', { agreed: { name: '0123456789abcdef', passes: 0 } }],
  ['nobody who reads it', { as: 'somebody' }],
  ['a transport of another kind', { transport: { kind: 'rewinding' } }],
])('%s is no word of ours', (_, part) => {
  const state = { ...playStateOf(read(demoDocuments()), NOBODY), ...part };
  expect(parseDown(JSON.stringify({ kind: 'play', state }))).toBeUndefined();
});
