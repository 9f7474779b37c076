import fc from 'fast-check';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { choicesIn, readTune } from '../../../app/_islands/start/read-tune';
import { abcTunes } from '../../../lib/formats/abc/tunes';
import { toMidi } from '../../../lib/formats/midi/write';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import { checkFill } from '../../../lib/tab/fill';
import { measureOf } from '../../../lib/tune';
import type { BoardId } from '../../../lib/units';
import { draftBoard } from '../../../server/boards';
import { parseSavedBoard, savedBoardOf } from '../../../shared/api/saved-board';
import { DocumentFamily } from '../../../shared/board/documents';
import { readBoard } from '../../../shared/board/read';
import { editedTune } from '../../kit/layouts';

/** How many files are mutated; `FUZZ_RUNS=10000` for all of what is promised. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 600);
const ID = 'abcdefghijkl' as BoardId;

const BOOK = [
  'X:1\nT:One\nM:4/4\nL:1/8\nK:G\n|:"G"B2d2 "D"d2B2|1 "G"G8:|2 "G"G4 z4|]\n',
  'X:2\nT:Two\nM:6/8\nK:Ador\nE|A3 BAG|A3-A2:|\n',
].join('\n');
const SCORES = [0, 1, 2].map((index) => toMusicXml({ tune: editedTune(index) }));
const MIDIS = [0, 1, 3].map((index) => toMidi({ tune: editedTune(index) }));

const edits = fc.array(
  fc.record({
    at: fc.nat(20_000),
    out: fc.nat(3),
    put: fc.constantFrom('', '|', ':', '"', '>', '<', '9', '/', 'X:', '\n', '-', 'z', '^', '[1'),
  }),
  { maxLength: 4 },
);

function slipped(
  text: string,
  list: typeof edits extends fc.Arbitrary<infer T> ? T : never,
): string {
  return list.reduce((made, { at, out, put }) => {
    const place = at % (made.length + 1);
    return made.slice(0, place) + put + made.slice(place + out);
  }, text);
}

const abc = fc.tuple(edits, fc.constantFrom(undefined, 1, 2, 3)).map(([list, number]) => {
  const tune = { abc: slipped(BOOK, list) };
  return number === undefined ? tune : { ...tune, number };
});
const part = fc.constantFrom({}, {}, { part: 'P1' }, { part: 'P1', voice: '1' }, { voice: '5' });
const musicxml = fc
  .tuple(fc.constantFrom(...SCORES), edits, part)
  .map(([score, list, chosen]) => ({ musicxml: slipped(score, list), ...chosen }));
const midi = fc
  .tuple(
    fc.constantFrom(...MIDIS),
    fc.array(fc.tuple(fc.nat(2000), fc.nat(255)), { maxLength: 3 }),
    fc.constantFrom(undefined, 1, 2, 5),
  )
  .map(([file, list, track]) => {
    const bytes = file.slice();
    for (const [at, byte] of list) bytes[at % bytes.length] = byte;
    const tune = { midi: Buffer.from(bytes).toString('base64') };
    return track === undefined ? tune : { ...tune, track };
  });

/** A board that can be read whole, saved and taken in again. */
function expectWhole(entries: readonly { document: string; update: Uint8Array }[]): void {
  const family = new DocumentFamily();
  for (const { update, document } of entries)
    if (document === 'lead') Y.applyUpdate(family.lead, update);
  const board = readBoard(ID, family);
  if (!board) throw new Error('half a board');
  expect(board.leftOut).toEqual([]);
  for (const plain of board.tune.parts.flatMap(({ measures }) => measures))
    expect(checkFill(measureOf(board.tune.meter, plain))).toEqual([]);
  const saved = parseSavedBoard(JSON.parse(JSON.stringify(savedBoardOf(board, 'board'))));
  if (!saved.ok) throw new Error(JSON.stringify(saved.problems));
}

test.each([
  ['ABC', abc],
  ['MusicXML', musicxml],
  ['MIDI', midi],
] as const)(
  'a mutated %s file makes a whole board or is refused in words, and the preview says the same',
  (_, files) => {
    const counts = { made: 0, refused: 0 };
    fc.assert(
      fc.property<[Parameters<typeof choicesIn>[0]]>(files, (tune) => {
        choicesIn(tune);
        const chosen = 'number' in tune && tune.number !== undefined ? String(tune.number) : '';
        if ('abc' in tune) {
          abcTunes(tune.abc);
          const read = readTune(tune, chosen);
          if (!read.ok) expect(draftBoard(ID, { tune }).ok).toBe(false);
        }
        const draft = draftBoard(ID, { tune });
        if (draft.ok) expectWhole(draft.value.entries);
        else for (const { words } of draft.problems) expect(words).toMatch(/[.]$/);
        counts[draft.ok ? 'made' : 'refused'] += 1;
      }),
      { seed: 1, numRuns: Math.ceil(RUNS / 3) },
    );
    expect(Math.min(counts.made, counts.refused)).toBeGreaterThan(10);
  },
);
