import { describe, expect, test } from 'vitest';
import type { BoardId } from '../../../lib/units';
import { newBoardId, newParticipantId } from '../../../server/links';
import type { SharedStore } from '../../../server/store/shared';
import type { NewPoint } from '../../../server/store/store';
import type { DocumentName } from '../../../shared/board/roles';
import { saidBy } from '../../../shared/board/roles';

const update = (...numbers: number[]) =>
  ({ document: 'lead', update: new Uint8Array(numbers) }) as const;

async function boardOf(store: SharedStore | undefined): Promise<BoardId> {
  const id = newBoardId();
  await store?.create({ id, createdMs: 1, links: [] }, [update(1)]);
  return id;
}

/**
 * What a store that several nodes write at once must do, besides what every store does. Run it for each.
 * @param open so many nodes' ways to one new database
 */
export function sharedStoreConforms(
  name: string,
  open: (count: number) => Promise<readonly SharedStore[]>,
): void {
  describe(`${name} is shared by nodes`, () => {
    test('nothing is written over what its writer has not read', async () => {
      const [one, two] = await open(2);
      if (!one || !two) throw new RangeError('two are needed');
      const board = await boardOf(one);
      expect(await one.appendNext(board, 1, [update(2), update(3)], [])).toBe(3);
      expect(await two.appendNext(board, 1, [update(4)], ['lead'])).toBeUndefined();
      expect(await two.since(board, 1)).toEqual({ version: 3, entries: [update(2), update(3)] });
      expect(await two.appendNext(board, 3, [update(4)], [])).toBe(4);
      expect(await one.since(board, 3)).toEqual({ version: 4, entries: [update(4)] });
      expect(await one.since(board, 4)).toEqual({ version: 4, entries: [] });
      expect(await one.versions([board, newBoardId()])).toEqual(new Map([[board, 4]]));
      expect(await one.since(newBoardId(), 0)).toBeUndefined();
    });

    test('[R20] of a link that is made new on several nodes at once one is left, and the others open nothing', async () => {
      const stores = await open(3);
      const [one] = stores;
      for (let turn = 0; turn < 20; turn += 1) {
        const board = await boardOf(one);
        await one?.renewLink(board, { role: 'join', hash: `${board} old` });
        const hashes = Array.from({ length: 12 }, (_, count) => `${board} ${count}`);
        const renew = (hash: string, count: number) =>
          stores[count % stores.length]?.renewLink(board, { role: 'join', hash });
        await Promise.all(hashes.map(renew));
        const found = await Promise.all(hashes.map((hash) => one?.findLink(hash)));
        expect(found.filter((link) => link !== undefined)).toHaveLength(1);
        const present = (await one?.presentLink(board, 'join')) ?? '';
        expect(found[hashes.indexOf(present)]).toEqual({ board, role: 'join' });
      }
    });

    test('whoever was away over a shortening reads the snapshot', async () => {
      const [store] = await open(1);
      if (!store) throw new RangeError('one is needed');
      const board = await boardOf(store);
      expect(await store.appendNext(board, 1, [update(2)], [])).toBe(2);
      expect(await store.appendNext(board, 2, [update(9)], ['lead'])).toBe(3);
      expect(await store.since(board, 1)).toEqual({ version: 3, entries: [update(9)] });
      expect(await store.load(board)).toEqual([update(9)]);
    });

    test('writers of one board on many nodes leave one order without gaps, and nobody is left out', async () => {
      const stores = await open(3);
      const board = await boardOf(stores[0]);
      const write = async (store: SharedStore, writer: number) => {
        let known = 0;
        for (let turn = 0; turn < 40; ) {
          const version = await store.appendNext(board, known, [update(writer, turn)], []);
          if (version !== undefined) turn += 1;
          known = version ?? (await store.since(board, known))?.version ?? 0;
        }
      };
      await Promise.all(stores.map(write));
      const stretch = await stores[0]?.since(board, 0);
      expect(stretch?.version).toBe(121);
      for (const writer of [0, 1, 2])
        expect(
          stretch?.entries
            .map((entry) => [...entry.update])
            .filter(([who, turn]) => turn !== undefined && who === writer)
            .map(([, turn]) => turn),
        ).toEqual(Array.from({ length: 40 }, (_, turn) => turn));
    });

    test('[R22] a point kept by a node that has not heard of a removal holds nothing of who is gone, however the two come together', async () => {
      const stores = await open(3);
      const [one, ...others] = stores;
      const board = await boardOf(one);
      if (!one) throw new RangeError('one is needed');
      const pointWith = (document: DocumentName): NewPoint => {
        const documents = [update(1), { document, update: new Uint8Array([2]) }];
        return { atMs: 1, why: 'time', mark: '', documents };
      };
      for (let turn = 0; turn < 40; turn += 1) {
        const said = saidBy(newParticipantId());
        const removal = one.appendNext(board, 1 + turn, [update(turn)], [said]);
        const kept = others.map((store) => store.keepPoint(board, pointWith(said)));
        expect(await removal).toBe(2 + turn);
        await Promise.all(kept);
        await others[0]?.keepPoint(board, pointWith(said));
      }
      const points = await one.listPoints(board);
      expect(points.map(({ number }) => number)).toEqual(
        Array.from({ length: 120 }, (_, i) => i + 1),
      );
      for (const { number } of points)
        expect(await one.readPoint(board, number)).toEqual([update(1)]);
    });

    test('what nodes share is what the first one offered', async () => {
      const stores = await open(3);
      const told = await Promise.all(
        stores.map((store, node) => store.settle('secret', `of ${node}`)),
      );
      expect(new Set(told).size).toBe(1);
      expect(await stores[0]?.settle('secret', 'later')).toBe(told[0]);
    });

    test('[R9] of those who write over the same version at once, one does, and the others change nothing', async () => {
      const stores = await open(3);
      const board = await boardOf(stores[0]);
      const told = await Promise.all(
        stores.map((store, writer) => store.appendNext(board, 1, [update(writer, 1)], ['lead'])),
      );
      expect(told.filter((version) => version !== undefined)).toEqual([2]);
      const winner = told.indexOf(2);
      expect(await stores[0]?.since(board, 0)).toEqual({
        version: 2,
        entries: [update(winner, 1)],
      });
    });
  });
}
