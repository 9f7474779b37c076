import * as encoding from 'lib0/encoding';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { MAX_RIVALRY } from '../../../server/limits';
import { rivalryIn, rivalryOf } from '../../../server/rooms/rivalry';
import { Trial } from '../../../server/rooms/trial';
import { decoded, isNothing } from '../../../server/rooms/update';
import { any, crafted, item, rivals } from '../../kit/craft';
import { seeded } from '../../kit/link';

function stepsOf(update: Uint8Array, doc: Y.Doc): number {
  const parts = decoded(update);
  if (!parts) throw new Error('no update');
  return rivalryOf(parts, doc, MAX_RIVALRY);
}

function takes(trial: Trial, update: Uint8Array): boolean {
  if (typeof trial.attempt(update) === 'string') return false;
  trial.take(update, undefined);
  return true;
}

/** Writes every key of a tune so many times over, each time in another order. */
function editAll(doc: Y.Doc, keys: number, times: number): void {
  for (let time = 0; time < times; time += 1)
    for (let key = 0; key < keys; key += 1)
      doc.getMap('measures').set(`m${(key * (time + 1)) % keys}`, { time, key });
}

describe('[R14] what was written side by side', () => {
  test('who writes on what they know causes no comparison, however long it goes on', () => {
    const doc = new Y.Doc();
    const trial = new Trial(new Y.Doc());
    for (let turn = 0; turn < 20; turn += 1) {
      const before = Y.encodeStateVector(doc);
      editAll(doc, 200, 2);
      const update = Y.encodeStateAsUpdate(doc, before);
      expect(stepsOf(update, trial.real)).toBe(0);
      expect(takes(trial, update)).toBe(true);
    }
    expect(rivalryIn(trial.real)).toBe(0);
    expect(stepsOf(Y.encodeStateAsUpdate(doc), new Y.Doc())).toBe(0);
  });

  test('two leaders who both rewrote a whole tune with undo while the line was down lose nothing', () => {
    const base = new Y.Doc();
    editAll(base, 256, 1);
    const trial = new Trial(new Y.Doc());
    expect(takes(trial, Y.encodeStateAsUpdate(base))).toBe(true);
    for (const _ of ['one', 'other']) {
      const leader = new Y.Doc();
      Y.applyUpdate(leader, Y.encodeStateAsUpdate(base));
      const manager = new Y.UndoManager(leader.getMap('measures'), { captureTimeout: 0 });
      editAll(leader, 256, 5);
      for (let times = 0; times < 5; times += 1) leader.getMap('measures').set('m1', { times });
      for (let undo = 0; undo < 20; undo += 1) manager.undo();
      for (let redo = 0; redo < 10; redo += 1) manager.redo();
      const mine = Y.encodeStateAsUpdate(leader, Y.encodeStateVector(base));
      expect(takes(trial, mine)).toBe(true);
    }
    expect(rivalryIn(trial.real)).toBeGreaterThan(256);
    expect(rivalryIn(trial.real)).toBeLessThan(MAX_RIVALRY / 10);
    expect(takes(new Trial(new Y.Doc()), Y.encodeStateAsUpdate(trial.real))).toBe(true);
  });

  test('who writes before a long history over and over is refused, at once and also bit by bit', () => {
    const doc = new Y.Doc();
    for (let turn = 0; turn < 6000; turn += 1) doc.getMap('me').set(turn % 2 ? 'k' : 'l', turn);
    const trial = new Trial(new Y.Doc());
    expect(takes(trial, Y.encodeStateAsUpdate(doc))).toBe(true);
    const early = (first: number, writers: number) =>
      crafted(
        Array.from({ length: writers }, (_, i) => [
          first + i,
          0,
          item(8, { root: 'me', key: 'k' }, any(i)),
        ]),
      );
    expect(trial.attempt(early(1, 1000))).toBe('too-large');
    let taken = 0;
    while (taken < 1000 && takes(trial, early(1000 + taken, 1))) taken += 1;
    expect(taken).toBeLessThan(MAX_RIVALRY / 3000);
    expect(taken).toBeGreaterThan(100);
    expect(rivalryIn(trial.real)).toBeLessThanOrEqual(2 * MAX_RIVALRY);
  });

  test('rivals in one update count, those of one key with one another only', () => {
    expect(stepsOf(rivals(1000, 'k'), new Y.Doc())).toBeGreaterThan((1000 * 999) / 2 - 1);
    expect(takes(new Trial(new Y.Doc()), rivals(200, 'k'))).toBe(true);
  });

  /** Values in one run under a key, the first of them deleted by the same update. */
  const crowd = (client: number, values: number, deleted: number): Uint8Array =>
    crafted(
      [
        [
          client,
          0,
          item(8, { root: 'me', key: `k${client}` }, (encoder) => {
            encoding.writeVarUint(encoder, values);
            for (let at = 0; at < values; at += 1) encoding.writeAny(encoder, at);
          }),
        ],
      ],
      deleted > 0 ? [[client, 0, deleted]] : [],
    );

  test('several values at once under one key are refused, since cutting tens of thousands out of them one by one would take seconds', () => {
    const trial = new Trial(new Y.Doc());
    expect(trial.attempt(crowd(7, 19_000, 0))).toBe('unreadable');
    expect(trial.attempt(crowd(7, 3, 0))).toBe('unreadable');
    expect(trial.attempt(crowd(7, 3, 2))).toBe('unreadable');
    expect(takes(trial, crowd(7, 3, 3))).toBe(true);
    expect(takes(trial, crowd(8, 1, 0))).toBe(true);
  });

  test('whatever leaders set, take back and do again, alone and while their lines are down, is taken', () => {
    let crowded = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const random = seeded(seed);
      const pick = (count: number) => Math.floor(random() * count);
      const trial = new Trial(new Y.Doc());
      const leaders = [1, 2].map((clientID) => {
        const doc = new Y.Doc();
        doc.clientID = clientID;
        const map = doc.getMap('measures');
        return { doc, map, undo: new Y.UndoManager(map, { captureTimeout: seed % 3 }) };
      });
      for (let step = 0; step < 80; step += 1) {
        const one = leaders[pick(2)];
        if (!one) throw new RangeError('nobody');
        const act = random();
        if (act < 0.5) one.map.set(`m${pick(3)}`, step);
        else if (act < 0.6) one.map.delete(`m${pick(3)}`);
        else if (act < 0.75) one.undo.undo();
        else if (act < 0.85) one.undo.redo();
        else {
          const mine = Y.encodeStateAsUpdate(one.doc, Y.encodeStateVector(trial.real));
          for (const struct of decoded(mine)?.structs ?? [])
            if (struct instanceof Y.Item && struct.content instanceof Y.ContentAny)
              crowded += struct.length > 1 ? 1 : 0;
          if (!isNothing(mine)) expect(takes(trial, mine)).toBe(true);
          const theirs = Y.encodeStateAsUpdate(trial.real, Y.encodeStateVector(one.doc));
          Y.applyUpdate(one.doc, theirs, 'server');
        }
      }
    }
    // Runs of values did come, all of them deleted.
    expect(crowded).toBeGreaterThan(20);
  });
});
