import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import type { BoardId, ParticipantId } from '../../../lib/units';
import { newBoardId } from '../../../server/links';
import type { LoggedUpdate, Store } from '../../../server/store/store';
import { StoreError } from '../../../server/store/store';
import type { DocumentName } from '../../../shared/board/roles';
import { saidBy } from '../../../shared/board/roles';

const SOMEBODY = saidBy('abcdefghijkl' as ParticipantId);

function entry(document: DocumentName, ...bytes: readonly number[]): LoggedUpdate {
  return { document, update: new Uint8Array(bytes) };
}

function plain(entries: readonly LoggedUpdate[] | undefined) {
  return entries?.map(({ document, update }) => [document, [...update]]);
}

async function withBoard(
  store: Store,
  entries: readonly LoggedUpdate[] = [],
  hash = `hash of ${Math.random()}`,
): Promise<BoardId> {
  const id = newBoardId();
  await store.create(
    { id, createdMs: 1_700_000_000_000.5, links: [{ role: 'join', hash }] },
    entries,
  );
  return id;
}

/**
 * What any store must do. Run it for each.
 * @param open the store of this test; a second call opens the same one again, after it was closed
 */
export function storeConforms(name: string, makeOpen: () => () => Promise<Store> | Store): void {
  describe(`${name} keeps boards`, () => {
    test('a board that was never made is not there', async () => {
      const store = await makeOpen()();
      expect(await store.load(newBoardId())).toBeUndefined();
      expect(await store.findLink('no such hash')).toBeUndefined();
      expect(await store.countBoards()).toBe(0);
    });

    test('a log comes back in the order in which it was written, byte for byte', async () => {
      const store = await makeOpen()();
      const first = [entry('lead', 1, 2), entry('house')];
      const board = await withBoard(store, first);
      await store.append(board, [entry(SOMEBODY, 0, 255), entry('lead', 3)]);
      await store.append(board, [entry('lead', 4)]);
      expect(plain(await store.load(board))).toEqual([
        ['lead', [1, 2]],
        ['house', []],
        [SOMEBODY, [0, 255]],
        ['lead', [3]],
        ['lead', [4]],
      ]);
    });

    test('appends that were not waited for keep their order, also between boards', async () => {
      const store = await makeOpen()();
      const boards = [await withBoard(store), await withBoard(store)];
      const appends: Promise<void>[] = [];
      for (let turn = 0; turn < 50; turn += 1)
        for (const board of boards) appends.push(store.append(board, [entry('lead', turn)]));
      await Promise.all(appends);
      for (const board of boards)
        expect((await store.load(board))?.map(({ update }) => update[0])).toEqual(
          Array.from({ length: 50 }, (_, turn) => turn),
        );
    });

    test('what was appended is there when the store is opened again', async () => {
      const open = makeOpen();
      const store = await open();
      const board = await withBoard(store, [entry('lead', 1)]);
      await store.append(board, [entry('lead', 2)]);
      await store.close();
      const again = await open();
      expect(plain(await again.load(board))).toEqual([
        ['lead', [1]],
        ['lead', [2]],
      ]);
      expect(await again.countBoards()).toBe(1);
    });

    test('what was asked for before closing is written before it closes', async () => {
      const open = makeOpen();
      const store = await open();
      const board = await withBoard(store);
      const append = store.append(board, [entry('lead', 9)]);
      await store.close();
      await append;
      expect(plain(await (await open()).load(board))).toEqual([['lead', [9]]]);
    });

    test('an append to a board that is not there rejects and leaves nothing, and the others of its turn go on', async () => {
      const store = await makeOpen()();
      const board = await withBoard(store);
      const nowhere = newBoardId();
      const [bad, good] = await Promise.allSettled([
        store.append(nowhere, [entry('lead', 1)]),
        store.append(board, [entry('lead', 2)]),
      ]);
      expect(bad.status).toBe('rejected');
      expect(good.status).toBe('fulfilled');
      expect(await store.load(nowhere)).toBeUndefined();
      expect(plain(await store.load(board))).toEqual([['lead', [2]]]);
    });

    test('documents that are gone leave nothing of what was there before, and what comes with that is there', async () => {
      const store = await makeOpen()();
      const other = await withBoard(store, [entry(SOMEBODY, 9)]);
      const board = await withBoard(store, [entry('lead', 1), entry(SOMEBODY, 2)]);
      await store.append(board, [entry('house', 3), entry(SOMEBODY, 4)], [SOMEBODY]);
      expect(plain(await store.load(board))).toEqual([
        ['lead', [1]],
        ['house', [3]],
        [SOMEBODY, [4]],
      ]);
      await store.append(board, [], [SOMEBODY, 'house']);
      expect(plain(await store.load(board))).toEqual([['lead', [1]]]);
      expect(plain(await store.load(other))).toEqual([[SOMEBODY, [9]]]);
    });

    test('a link that is made new is found, the old one of its role is not, and the others stay', async () => {
      const store = await makeOpen()();
      const board = await withBoard(store, [], 'old');
      const other = await withBoard(store, [], 'of another board');
      await store.renewLink(board, { role: 'watch', hash: 'watch' });
      await store.renewLink(board, { role: 'join', hash: 'new' });
      expect(await store.findLink('old')).toBeUndefined();
      expect(await store.findLink('new')).toEqual({ board, role: 'join' });
      expect(await store.findLink('watch')).toEqual({ board, role: 'watch' });
      expect(await store.findLink('of another board')).toEqual({ board: other, role: 'join' });
      expect(await store.presentLink(board, 'join')).toBe('new');
      expect(await store.presentLink(board, 'watch')).toBe('watch');
      expect(await store.presentLink(board, 'lead')).toBeUndefined();
      expect(await store.presentLink(other, 'join')).toBe('of another board');
      expect(await store.presentLink(newBoardId(), 'join')).toBeUndefined();
    });

    test('a board cannot be made twice, and the first stays as it was', async () => {
      const store = await makeOpen()();
      const id = newBoardId();
      await store.create({ id, createdMs: 1, links: [] }, [entry('lead', 1)]);
      await expect(
        store.create({ id, createdMs: 2, links: [{ role: 'lead', hash: 'h' }] }, [
          entry('lead', 2),
        ]),
      ).rejects.toThrow();
      expect(plain(await store.load(id))).toEqual([['lead', [1]]]);
      expect(await store.findLink('h')).toBeUndefined();
    });

    test('a link is found by its hash, with its board and role', async () => {
      const store = await makeOpen()();
      const board = await withBoard(store, [], 'this hash');
      expect(await store.findLink('this hash')).toEqual({ board, role: 'join' });
      expect(await store.findLink('this has')).toBeUndefined();
    });

    test('compacting replaces the logs of the named documents and no others', async () => {
      const store = await makeOpen()();
      const other = await withBoard(store, [entry('lead', 7), entry('lead', 8)]);
      const doc = new Y.Doc();
      const updates: Uint8Array[] = [];
      doc.on('update', (update: Uint8Array) => updates.push(update));
      for (const letter of 'compact') doc.getText('t').insert(0, letter);
      const board = await withBoard(store, [entry('house', 1), entry('house', 2)]);
      await store.append(
        board,
        updates.map((update) => ({ document: 'lead', update })),
      );
      await store.compact(board, [{ document: 'lead', update: Y.encodeStateAsUpdate(doc) }]);
      const entries = (await store.load(board)) ?? [];
      expect(entries.filter(({ document }) => document === 'house')).toHaveLength(2);
      const [snapshot, ...more] = entries.filter(({ document }) => document === 'lead');
      expect(more).toEqual([]);
      const loaded = new Y.Doc();
      Y.applyUpdate(loaded, snapshot?.update ?? new Uint8Array());
      expect(loaded.getText('t').toString()).toBe('tcapmoc');
      expect(await store.load(other)).toHaveLength(2);
    });

    test('points come back in the order in which they were kept, byte for byte, and no board sees those of another', async () => {
      const open = makeOpen();
      const store = await open();
      const board = await withBoard(store);
      const other = await withBoard(store);
      const kept = { atMs: 1_700_000_000_000.5, why: 'agreed', mark: 'agreed ab' } as const;
      const documents = [entry('lead', 0, 255), entry(SOMEBODY, 1), entry('house')];
      expect(await store.keepPoint(board, { ...kept, documents })).toBe(1);
      const earlier = { atMs: 5, why: 'time', mark: 'open -' } as const;
      expect(await store.keepPoint(board, { ...earlier, documents: [] })).toBe(2);
      await store.close();
      const again = await open();
      expect(await again.listPoints(board)).toEqual([
        { number: 1, ...kept, size: 3 },
        { number: 2, ...earlier, size: 0 },
      ]);
      expect(plain(await again.readPoint(board, 1))).toEqual(plain(documents));
      expect(await again.readPoint(board, 2)).toEqual([]);
      expect(await again.readPoint(board, 3)).toBeUndefined();
      expect(await again.listPoints(other)).toEqual([]);
      expect(await again.readPoint(other, 1)).toBeUndefined();
      expect(plain(await again.load(board))).toEqual([]);
    });

    test('a point of a board that is not there is not kept', async () => {
      const store = await makeOpen()();
      const point = { atMs: 1, why: 'time', mark: '', documents: [entry('lead', 1)] } as const;
      const nowhere = newBoardId();
      await expect(store.keepPoint(nowhere, point)).rejects.toThrow(StoreError);
      expect(await store.listPoints(nowhere)).toEqual([]);
    });

    test('points that are dropped are gone, the others stay, and no number comes twice', async () => {
      const store = await makeOpen()();
      const board = await withBoard(store);
      const point = { atMs: 1, why: 'time', mark: '' } as const;
      for (let turn = 1; turn <= 4; turn += 1)
        await store.keepPoint(board, { ...point, documents: [entry('lead', turn)] });
      await store.dropPoints(board, [1, 3, 99]);
      expect((await store.listPoints(board)).map(({ number }) => number)).toEqual([2, 4]);
      expect(await store.readPoint(board, 3)).toBeUndefined();
      expect(plain(await store.readPoint(board, 4))).toEqual([['lead', [4]]]);
      expect(await store.keepPoint(board, { ...point, documents: [] })).toBe(5);
    });

    test('what is gone leaves every point of its board and of no other; shortening logs leaves points as they are', async () => {
      const store = await makeOpen()();
      const boards = [
        await withBoard(store, [entry(SOMEBODY, 1)]),
        await withBoard(store, [entry(SOMEBODY, 1)]),
      ] as const;
      const documents = [entry('lead', 7), entry(SOMEBODY, 8)];
      for (const board of [...boards, boards[0]])
        await store.keepPoint(board, { atMs: 1, why: 'time', mark: '', documents });
      await store.compact(boards[0], [entry(SOMEBODY, 2), entry('lead', 3)]);
      expect(plain(await store.readPoint(boards[0], 2))).toEqual(plain(documents));
      await store.append(boards[0], [entry('lead', 9)], [SOMEBODY]);
      for (const number of [1, 2])
        expect(plain(await store.readPoint(boards[0], number))).toEqual([['lead', [7]]]);
      expect(plain(await store.readPoint(boards[1], 1))).toEqual(plain(documents));
    });

    test('boards that nobody has used since a moment are removed whole; one whose use was never noted counts as used now', async () => {
      const store = await makeOpen()();
      const [idle, used, fresh] = [
        await withBoard(store, [entry('lead', 1)], 'idle'),
        await withBoard(store, [entry('lead', 2)], 'used'),
        await withBoard(store, [entry('lead', 3)], 'fresh'),
      ];
      const documents = [entry('lead', 1)];
      await store.keepPoint(idle, { atMs: 1, why: 'time', mark: '', documents });
      await store.touch([idle, used, newBoardId()], 1000.5);
      await store.touch([used], 2000.5);
      await store.touch([used], 500);
      expect(await store.removeIdle(1000.5, 3000)).toEqual([]);
      expect(await store.removeIdle(2000.5, 3000)).toEqual([idle]);
      expect(await store.load(idle)).toBeUndefined();
      expect(await store.findLink('idle')).toBeUndefined();
      expect(await store.listPoints(idle)).toEqual([]);
      expect(plain(await store.load(used))).toEqual([['lead', [2]]]);
      expect(await store.removeIdle(3000, 4000)).toEqual([used]);
      expect(plain(await store.load(fresh))).toEqual([['lead', [3]]]);
      expect(await store.removeIdle(3000.5, 4000)).toEqual([fresh]);
      expect(await store.countBoards()).toBe(0);
    });

    test('time in which no server ran, and clocks that were set, move every use that was noted', async () => {
      const store = await makeOpen()();
      const [early, late, fresh] = [
        await withBoard(store, [entry('lead', 1)], 'early'),
        await withBoard(store, [entry('lead', 2)], 'late'),
        await withBoard(store, [entry('lead', 3)], 'fresh'),
      ];
      await store.touch([early], 1000.5);
      await store.touch([late], 2000.5);
      // Never noted before: somebody was there at 2000.5, so nobody ran anything for 500 from then on.
      await store.noteTime(2500.5, 100);
      expect(await store.removeIdle(1500.5, 2500.5)).toEqual([]);
      await store.noteTime(2600.5, 100);
      // Uses are at 1500.5 and 2500.5, and for the fresh one at 2500.5. A clock is set back by 2000, and by 5000 ahead.
      await store.noteTime(600.5, 100);
      await store.noteTime(5600.5, 100);
      await store.noteTime(5700.5, 100);
      expect(await store.removeIdle(4500.5, 5700.5)).toEqual([]);
      expect(await store.removeIdle(4500.6, 5700.5)).toEqual([early]);
      expect(await store.removeIdle(5500.5, 5700.5)).toEqual([]);
      expect(await store.removeIdle(5500.6, 5700.5)).toEqual([fresh, late].sort());
    });

    test('a board that was removed is gone with its links, and only it', async () => {
      const store = await makeOpen()();
      const board = await withBoard(store, [entry('lead', 1)], 'gone');
      const other = await withBoard(store, [entry('lead', 2)], 'there');
      const documents = [entry('lead', 1)];
      for (const id of [board, other])
        await store.keepPoint(id, { atMs: 1, why: 'time', mark: '', documents });
      expect(await Promise.all([store.remove(board), store.remove(board)])).toEqual([true, false]);
      expect(await store.remove(newBoardId())).toBe(false);
      expect(await store.load(board)).toBeUndefined();
      expect(await store.findLink('gone')).toBeUndefined();
      expect(await store.load(other)).toHaveLength(1);
      expect(await store.listPoints(board)).toEqual([]);
      expect(await store.readPoint(board, 1)).toBeUndefined();
      expect(plain(await store.readPoint(other, 1))).toEqual(plain(documents));
      expect(await store.findLink('there')).toBeDefined();
      expect(await store.countBoards()).toBe(1);
    });
  });
}
