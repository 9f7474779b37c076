import { expect, onTestFinished, test } from 'vitest';
import * as Y from 'yjs';
import { toMidi } from '../../lib/formats/midi/write';
import { toMusicXml } from '../../lib/formats/musicxml/write';
import type { BoardId } from '../../lib/units';
import type { Draft } from '../../server/boards';
import { draftFromText } from '../../server/boards';
import type { ImportLimits } from '../../server/imports/desk';
import { ImportDesk } from '../../server/imports/desk';
import { savedBoardOf } from '../../shared/api/saved-board';
import { demoDocuments } from '../../shared/board/demo';
import { DocumentFamily } from '../../shared/board/documents';
import { readBoard } from '../../shared/board/read';
import { parseDocumentName, saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { editedTune } from '../kit/layouts';
import { startTestServer } from '../kit/server';
import { stage } from '../kit/stage';

const ID = 'abcdefghijkl' as BoardId;
const HEAD = 'X:1\nT:Test of a Gate\nM:4/4\nL:1/64\nK:G\n';
const SHORT = JSON.stringify({ tune: { abc: `${HEAD}G16B16d16B16|A16F16D32|]\n` } });
/** As many notes as a board holds. */
const DENSE = { tune: { abc: `${HEAD}${`${'GABcdefg'.repeat(8)}|\n`.repeat(250)}` } };
const UNWELL = new URL('../kit/unwell-reader.ts', import.meta.url);

/** A desk whose processes go wrong where they are asked to, and what it reported. */
function unwellDesk(limits: Partial<ImportLimits> = {}) {
  const reports: string[] = [];
  const report = (words: string, error: unknown) => reports.push(`${words} ${error}`);
  const desk = new ImportDesk(report, { program: UNWELL, ...limits });
  onTestFinished(() => desk.stop());
  return { desk, reports };
}

test('while a dense tune is read, the others are told the time and see edits', async () => {
  const { server, victim, witness } = await stage();
  const told: string[] = [];
  const from = performance.now();
  let longest = 0;
  const pulse = (async () => {
    while (!told.includes('read')) {
      const before = performance.now();
      await victim.peer.heard();
      longest = Math.max(longest, performance.now() - before);
    }
  })();
  victim.peer.edit(saidBy(victim.me.participant), (doc) => writeName(doc, 'Meanwhile'));
  const seen = witness.peer
    .until(() => witness.peer.sees?.people.some(({ name }) => name === 'Meanwhile') ?? false)
    .then(() => told.push('seen'));
  const made = await server.ask(DENSE);
  told.push('read');
  const took = performance.now() - from;
  await Promise.all([pulse, seen]);
  expect(made).toMatchObject({ ok: true });
  expect(told).toEqual(['seen', 'read']);
  expect(longest).toBeLessThan(took / 4);
});

/** Everything of a draft but the numbers that Yjs draws for those who write. */
function contentOf({ entries, remarks }: Draft) {
  const family = new DocumentFamily();
  const written = entries.map(({ document, update }) => {
    const parsed = parseDocumentName(document);
    if (parsed) Y.applyUpdate(family.open(parsed.name), update);
    const { structs, ds } = Y.decodeUpdate(update);
    const pieces = structs.map((struct) => [
      struct.constructor.name,
      struct.id.clock,
      struct.length,
    ]);
    return { document, pieces, deleted: [...ds.clients.values()] };
  });
  return { board: readBoard(ID, family), written, remarks };
}

const SAVED = readBoard(ID, demoDocuments());
const BODIES: Readonly<Record<string, string>> = {
  'a short tune': SHORT,
  'the demo': JSON.stringify({ tune: { demo: true } }),
  'a tune with remarks': JSON.stringify({
    title: 'Other',
    tune: { abc: `${HEAD.replace('T:Test', `T:${'long '.repeat(60)}`)}G16B16d16B16|]\n` },
  }),
  MusicXML: JSON.stringify({ tune: { musicxml: toMusicXml({ tune: editedTune(1) }) } }),
  MIDI: JSON.stringify({
    tune: { midi: Buffer.from(toMidi({ tune: editedTune(0) })).toString('base64') },
  }),
  'a saved board': JSON.stringify({ tune: { board: SAVED && savedBoardOf(SAVED, 'board') } }),
};
const REFUSED: Readonly<Record<string, string>> = {
  nothing: '',
  'half a body': '{ "tune": ',
  'no tune': '{}',
  'a tune off the neck': JSON.stringify({ tune: { abc: `${HEAD}G64|]\n` }, transpose: 36 }),
  'measures that do not add up': JSON.stringify({ tune: { abc: `${HEAD}G64G|G3|]\n` } }),
  'a nest of lists': '['.repeat(100_000) + ']'.repeat(100_000),
};

test('a process reads what this one would read', async () => {
  const { desk } = unwellDesk();
  for (const [name, text] of Object.entries(BODIES)) {
    const read = await desk.read(ID, text);
    const here = draftFromText(ID, text);
    if (!read.ok || !here.ok) throw new Error(`${name} was refused`);
    expect(contentOf(read.value), name).toEqual(contentOf(here.value));
    expect(contentOf(read.value).board, name).toBeDefined();
  }
  for (const [name, text] of Object.entries(REFUSED)) {
    const read = await desk.read(ID, text);
    expect(read.ok, name).toBe(false);
    expect(read, name).toEqual(draftFromText(ID, text));
  }
});

test.each([
  ['endless', 'takes-too-long', /longer to read than the 1.5 seconds/, []],
  ['memory', 'takes-too-much-memory', /more memory/, []],
  ['crash', 'reading-failed', /mistake of this program/, [/It ended with 3/]],
  ['abort', 'reading-failed', /mistake of this program/, [/It ended with SIGABRT/]],
  ['mistake', 'reading-failed', /mistake of this program/, [/RangeError: a mistake of ours/]],
] as const)(
  'a reading with the end "%s" is answered in words, the server goes on and reads the next',
  async (deed, code, words, told) => {
    const { desk, reports } = unwellDesk({ patience: 1500, heap: 64, places: 1 });
    const server = await startTestServer({ imports: desk });
    const board = await server.create(JSON.parse(SHORT));
    const made = await server.host.createBoard(deed);
    if (made.ok) throw new Error('it was read');
    expect(made.problems).toEqual([{ code, where: {}, words: expect.stringMatching(words) }]);
    expect(reports).toEqual(told.map((each) => expect.stringMatching(each)));
    expect(await server.host.readBoard(board.id)).toBeDefined();
    expect(await server.host.createBoard(SHORT)).toMatchObject({ ok: true });
    expect(server.host.health().boards).toBe(2);
  },
);

const busy = { ok: false, problems: [{ code: 'imports-busy' }] };
const restarting = { ok: false, problems: [{ code: 'restarting' }] };

test.each([
  ['so many', { waiting: 1 }, SHORT],
  ['so much', { waitingText: 2 * SHORT.length - 1 }, SHORT],
])(
  'no more wait than may: %s, and all are answered when the server stops',
  async (_, limits, text) => {
    const { desk } = unwellDesk({ places: 1, ...limits });
    const server = await startTestServer({ imports: desk });
    const first = server.host.createBoard('endless');
    const second = server.host.createBoard(text);
    expect(await server.host.createBoard(text)).toMatchObject(busy);
    await server.stop();
    expect([await first, await second]).toMatchObject([restarting, restarting]);
    expect(await desk.read(ID, text)).toMatchObject(restarting);
  },
);

test('who waits is read when there is a place', async () => {
  const { desk } = unwellDesk({ places: 1 });
  const all = await Promise.all(Array.from({ length: 5 }, () => desk.read(ID, SHORT)));
  expect(all.map(({ ok }) => ok)).toEqual([true, true, true, true, true]);
});

test('who waits behind a reading that is given up is read by the next process', async () => {
  const { desk } = unwellDesk({ places: 1, patience: 1500 });
  const [first, second] = await Promise.all([desk.read(ID, 'crash'), desk.read(ID, SHORT)]);
  expect([first.ok, second.ok]).toEqual([false, true]);
});
