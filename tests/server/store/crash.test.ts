import {
  closeSync,
  cpSync,
  existsSync,
  openSync,
  readdirSync,
  readFileSync,
  readlinkSync,
} from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { BoardId, ParticipantId } from '../../../lib/units';
import { newBoardId } from '../../../server/links';
import { SqliteStore } from '../../../server/store/sqlite';
import type { LoggedUpdate } from '../../../server/store/store';
import type { DocumentName } from '../../../shared/board/roles';
import { saidBy } from '../../../shared/board/roles';
import { testFolder } from '../../kit/server';

const DOCUMENTS: readonly DocumentName[] = [
  'lead',
  'house',
  saidBy('abcdefghijkl' as ParticipantId),
];

type Step =
  | { readonly kind: 'append'; readonly document: DocumentName; readonly size: number }
  | { readonly kind: 'gone'; readonly document: DocumentName }
  | { readonly kind: 'compact'; readonly document: DocumentName }
  | { readonly kind: 'point' }
  | { readonly kind: 'reopen' };

const name = fc.constantFrom(...DOCUMENTS);
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.record({
      kind: fc.constant('append' as const),
      document: name,
      // Many small ones, some that fill the journal, some that go past it.
      size: fc.oneof(fc.nat(200), fc.constantFrom(20_000, 40_000, 70_000)),
    }),
  },
  fc.record({ kind: fc.constant('gone' as const), document: name }),
  fc.record({ kind: fc.constant('compact' as const), document: name }),
  fc.record({ kind: fc.constant('point' as const) }),
  fc.record({ kind: fc.constant('reopen' as const) }),
);

/** An update whose bytes say which step wrote it. */
function marked(turn: number, size: number): Uint8Array {
  const text = `step ${String(turn).padStart(4, '0')} `;
  return new Uint8Array(Buffer.from(text.padEnd(Math.max(size, text.length), 'x')));
}

const plain = (entries: readonly LoggedUpdate[] | undefined) =>
  entries?.map(({ document, update }) => [
    document,
    update.length,
    Buffer.from(update).toString('latin1', 0, 9),
  ]);

/** What a server reads that starts on this folder as it is now, as after a loss of power. */
async function afterCrash(folder: string, board: BoardId) {
  const copy = testFolder();
  for (const file of readdirSync(folder))
    if (!file.startsWith('lock')) cpSync(join(folder, file), join(copy, file));
  const store = new SqliteStore(copy);
  const found = plain(await store.load(board));
  await store.close();
  return found;
}

/** All bytes of a folder, as text. */
const bytesIn = (folder: string) =>
  readdirSync(folder)
    .map((file) => readFileSync(join(folder, file), 'latin1'))
    .join('');

test('whenever the power goes, all that was kept is there once and in its order, and what is gone stays gone', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 5, maxLength: 40 }), async (steps) => {
      const folder = testFolder();
      let store = new SqliteStore(folder);
      const board = newBoardId();
      await store.create({ id: board, createdMs: 1, links: [] }, []);
      let log: LoggedUpdate[] = [];
      const gone: string[] = [];
      for (const [turn, each] of steps.entries()) {
        if (each.kind === 'append') {
          const entry = { document: each.document, update: marked(turn, each.size) };
          await store.append(board, [entry]);
          log.push(entry);
        } else if (each.kind === 'gone' || each.kind === 'compact') {
          const old = log.filter(({ document }) => document === each.document);
          const entry = { document: each.document, update: marked(turn, 10) };
          log = log.filter(({ document }) => document !== each.document);
          if (each.kind === 'gone') {
            await store.append(board, [], [each.document]);
            gone.push(...old.map(({ update }) => Buffer.from(update).toString('latin1', 0, 9)));
          } else {
            await store.compact(board, [entry]);
            log.push(entry);
          }
        } else if (each.kind === 'point') {
          await store.keepPoint(board, { atMs: 1, why: 'time', mark: '', documents: [] });
        } else {
          await store.close();
          store = new SqliteStore(folder);
        }
        expect(plain(await store.load(board))).toEqual(plain(log));
        expect(await afterCrash(folder, board)).toEqual(plain(log));
        if (each.kind === 'gone') {
          const bytes = bytesIn(folder);
          expect(gone.filter((mark) => bytes.includes(mark))).toEqual([]);
        }
      }
      await store.close();
    }),
    { seed: 5, numRuns: 25 },
  );
}, 120_000);

test('an append during which the power goes is there whole or not at all, with all before it', async () => {
  const folder = testFolder();
  const store = new SqliteStore(folder);
  const board = newBoardId();
  await store.create({ id: board, createdMs: 1, links: [] }, []);
  const found: number[] = [];
  for (let turn = 0; turn < 40; turn += 1) {
    const entries = DOCUMENTS.map((document) => ({ document, update: marked(turn, 3000) }));
    const appending = store.append(board, entries);
    const read = await afterCrash(folder, board);
    found.push((read?.length ?? 0) - turn * DOCUMENTS.length);
    await appending;
  }
  expect(found.filter((more) => more !== 0 && more !== DOCUMENTS.length)).toEqual([]);
  expect(await store.load(board)).toHaveLength(40 * DOCUMENTS.length);
  await store.close();
});

const OPEN_FILES = '/proc/self/fd';

/** Puts a file that takes nothing in the place of one that this process has open. Linux only. */
function spoil(path: string): void {
  const file = readdirSync(OPEN_FILES)
    .map(Number)
    .find((each) => existsSync(`${OPEN_FILES}/${each}`) && linkOf(each) === path);
  if (file === undefined) throw new Error(`${path} is not open`);
  closeSync(file);
  // The system gives the lowest number that is free (source: open(2)); lower ones may have come free meanwhile.
  const lower: number[] = [];
  for (let next = openNull(); next !== file; next = openNull()) {
    expect(next).toBeLessThan(file);
    lower.push(next);
  }
  for (const each of lower) closeSync(each);
}

const openNull = () => openSync('/dev/null', 'r');

const linkOf = (file: number) => readlinkSync(`${OPEN_FILES}/${file}`);

test.skipIf(!existsSync(OPEN_FILES))(
  'where only the journal cannot be written, the database keeps what is asked for, after all that was in it',
  async () => {
    const folder = testFolder();
    const store = new SqliteStore(folder);
    const board = newBoardId();
    const entries = [1, 2, 3].map((turn) => ({
      document: 'lead' as const,
      update: marked(turn, 10),
    }));
    const [first, second, third] = entries as [LoggedUpdate, LoggedUpdate, LoggedUpdate];
    await store.create({ id: board, createdMs: 1, links: [] }, []);
    await store.append(board, [first]);
    spoil(join(folder, 'passround.journal'));
    await store.append(board, [second]);
    expect(await afterCrash(folder, board)).toEqual(plain([first, second]));
    await store.append(board, [third]);
    expect(await afterCrash(folder, board)).toEqual(plain(entries));
    await store.close();
    const again = new SqliteStore(folder);
    expect(plain(await again.load(board))).toEqual(plain(entries));
    await again.close();
  },
);

test('a database that was put back from an older copy starts beside the journal of the newer one', async () => {
  const folder = testFolder();
  const store = new SqliteStore(folder);
  const old = newBoardId();
  const entry = { document: 'lead', update: marked(1, 10) } as const;
  await store.create({ id: old, createdMs: 1, links: [] }, [entry]);
  const copy = testFolder();
  await store.copyTo(join(copy, 'passround.sqlite'));
  const young = newBoardId();
  await store.create({ id: young, createdMs: 2, links: [] }, []);
  await store.append(young, [entry]);
  cpSync(join(folder, 'passround.journal'), join(copy, 'passround.journal'));
  const back = new SqliteStore(copy);
  expect(await back.load(young)).toBeUndefined();
  await back.append(old, [entry]);
  expect(await back.load(old)).toHaveLength(2);
  await back.compact(old, [entry]);
  expect(await back.load(old)).toHaveLength(1);
  for (const each of [store, back]) await each.close();
});
