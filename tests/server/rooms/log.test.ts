import { expect, test } from 'vitest';
import type { BoardId } from '../../../lib/units';
import { RoomLog } from '../../../server/rooms/log';
import type { LoggedUpdate } from '../../../server/store/store';
import { StoreError } from '../../../server/store/store';
import { saidBy } from '../../../shared/board/roles';

const entry = (...bytes: readonly number[]): LoggedUpdate => ({
  document: 'lead',
  update: new Uint8Array(bytes),
});

/** A log on a store that answers when the test says so. */
function heldLog() {
  const batches: { readonly bytes: readonly number[]; readonly answer: (error?: Error) => void }[] =
    [];
  const told: string[] = [];
  const store = {
    append: (_: BoardId, entries: readonly LoggedUpdate[]) =>
      new Promise<void>((done, failed) => {
        const answer = (error?: Error) => (error ? failed(error) : done());
        batches.push({ bytes: entries.flatMap(({ update }) => [...update]), answer });
      }),
    compact: async () => true,
  };
  const metrics = { noteWrite: () => undefined, noteFailedWrite: () => undefined };
  const log = new RoomLog(
    'abcdefghijkl' as BoardId,
    store,
    metrics,
    () => told.push('broken'),
    () => undefined,
    () => told.push('fault'),
  );
  const wait = (name: string) =>
    log.whenKept(
      () => told.push(name),
      () => told.push(`${name} lost`),
    );
  const turn = () => new Promise((done) => setImmediate(done));
  const answer = async (batch: number, error?: Error) => {
    batches[batch]?.answer(error);
    await turn();
  };
  return { log, batches, told, wait, answer };
}

test('[R9] who waits for a change is told as soon as that one is kept, though others came meanwhile', async () => {
  const { log, batches, told, wait, answer } = heldLog();
  wait('nothing asked');
  expect(told).toEqual(['nothing asked']);
  log.append([entry(1)]);
  wait('first');
  log.append([entry(2)]);
  wait('second');
  log.append([entry(3)]);
  wait('third');
  wait('third again');
  expect(batches.map(({ bytes }) => bytes)).toEqual([[1]]);
  await answer(0);
  expect(told.slice(1)).toEqual(['first']);
  expect(batches.map(({ bytes }) => bytes)).toEqual([[1], [2, 3]]);
  log.append([entry(4)]);
  wait('fourth');
  await answer(1);
  expect(told.slice(2)).toEqual(['second', 'third', 'third again']);
  await answer(2);
  expect(told.at(-1)).toBe('fourth');
  wait('nothing more');
  expect(told.at(-1)).toBe('nothing more');
});

test('[R11] after a failure everybody who still waits is told, in their order, and nothing more is taken', async () => {
  const { log, batches, told, wait, answer } = heldLog();
  log.append([entry(1)]);
  wait('first');
  log.append([entry(2)]);
  wait('second');
  await answer(0, new StoreError('the disk is full (says the test)'));
  expect(told).toEqual(['broken', 'first lost', 'second lost']);
  log.append([entry(3)]);
  wait('third');
  expect(told.at(-1)).toBe('third lost');
  expect(batches).toHaveLength(1);
});

test('what is handed over to the batch under way is kept with it', async () => {
  const { log, told, wait, answer } = heldLog();
  log.append([entry(1)]);
  log.append([entry(2)], [saidBy('bcdefghijklm' as never)]);
  wait('second');
  expect(log.takeWaiting()).toMatchObject({ entries: [entry(2)] });
  await answer(0);
  expect(told).toEqual(['second']);
});

test('what was dropped while it waited holds nobody up', async () => {
  const { log, batches, told, wait, answer } = heldLog();
  log.append([entry(1)]);
  log.append([entry(2)]);
  wait('second');
  log.drop(['lead']);
  await answer(0);
  expect(told).toEqual(['second']);
  expect(batches).toHaveLength(1);
});
