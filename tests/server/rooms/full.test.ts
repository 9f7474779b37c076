import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { MAX_BOARD } from '../../../server/limits';
import { newParticipantId } from '../../../server/links';
import { LiveDocuments } from '../../../server/rooms/documents';
import { demoDocuments } from '../../../shared/board/demo';
import { writeFrozen } from '../../../shared/board/leading';
import { LEAD_DOCUMENT, saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import { madeBy } from '../../kit/craft';

test('[R14] a board that is full takes no more from anybody, but still leaders’ orders and what takes something away, and goes on when there is room', () => {
  const family = demoDocuments();
  const documents = new LiveDocuments(
    family.names().map((document) => ({
      document,
      update: Y.encodeStateAsUpdate(family.open(document)),
    })),
  );
  const add = (update: Uint8Array, participant = newParticipantId()) => ({
    participant,
    fault: documents.edit(
      saidBy(participant),
      update,
      { participant, role: 'join' },
      () => undefined,
    ),
  });
  const filling = new Y.Doc();
  for (let part = 0; part < 9; part += 1)
    filling.getMap('large').set(`${part}`, 'x'.repeat(200_000));
  const large = Y.encodeStateAsUpdate(filling);
  const people = [add(large)];
  while (people.at(-1)?.fault === undefined && people.length < 40) people.push(add(large));
  expect(people.at(-1)?.fault).toBe('too-large');
  expect(people.length * large.length).toBeGreaterThan(MAX_BOARD);
  expect((people.length - 1) * large.length).toBeLessThan(MAX_BOARD + large.length);
  expect(add(large).fault).toBe('too-large');
  // To the brim, so that not even a small change finds room.
  const piece = (size: number) => madeBy((doc) => doc.getMap('large').set('0', 'x'.repeat(size)));
  for (const size of [200_000, 20_000, 2_000, 200, 1]) while (add(piece(size)).fault === undefined);
  const leader = { participant: newParticipantId(), role: 'lead' } as const;
  const freeze = madeBy((doc) => writeFrozen(doc, true));
  expect(documents.edit(LEAD_DOCUMENT, freeze, leader, () => undefined)).toBeUndefined();
  expect(documents.situation.frozen).toBe(true);
  const before = Y.encodeStateVector(filling);
  filling.getMap('large').delete('0');
  filling.getMap('large').delete('1');
  const first = people[0]?.participant;
  expect(add(Y.encodeStateAsUpdate(filling, before), first).fault).toBeUndefined();
  expect(add(madeBy((doc) => writeName(doc, 'Ash'))).fault).toBeUndefined();
  documents.takeOut(people[1]?.participant ?? newParticipantId(), 0, true);
  expect(add(large).fault).toBeUndefined();
});
