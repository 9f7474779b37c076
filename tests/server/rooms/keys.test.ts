import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { MAX_KEYS } from '../../../server/limits';
import { newParticipantId } from '../../../server/links';
import { LiveDocuments } from '../../../server/rooms/documents';
import { demoDocuments } from '../../../shared/board/demo';
import type { DocumentName, Role } from '../../../shared/board/roles';
import { ballotOf, LEAD_DOCUMENT, saidBy } from '../../../shared/board/roles';

const participant = newParticipantId();

/** A board, and one document of it at somebody who writes; each edit says why it was not taken. */
function writing(name: DocumentName, role: Role) {
  const family = demoDocuments();
  const documents = new LiveDocuments(
    family.names().map((document) => ({
      document,
      update: Y.encodeStateAsUpdate(family.open(document)),
    })),
  );
  const doc = new Y.Doc();
  return (change: (map: Y.Map<unknown>) => void, whole = false) => {
    const before = whole ? undefined : Y.encodeStateVector(doc);
    doc.transact(() => change(doc.getMap('more')));
    const update = Y.encodeStateAsUpdate(doc, before);
    return documents.edit(name, update, { participant, role }, () => undefined);
  };
}

const fill = (map: Y.Map<unknown>) => {
  for (let n = 0; n < MAX_KEYS; n += 1) map.set(`x${n}`, n);
};

test.each([saidBy(participant), ballotOf(participant)])(
  '[R14] %s takes so many keys and no more',
  (name) => {
    const edit = writing(name, 'join');
    expect(edit(fill)).toBeUndefined();
    expect(edit((map) => map.set('one more', 1))).toBe('too-large');
  },
);

test('[R14] a full document of a person is written anew and emptied', () => {
  const edit = writing(saidBy(participant), 'join');
  expect(edit(fill)).toBeUndefined();
  expect(edit((map) => map.set('x7', 'anew'))).toBeUndefined();
  expect(edit((map) => map.delete('x8'))).toBeUndefined();
  expect(edit((map) => map.set('x8', 'again'))).toBeUndefined();
});

test('[R14] whoever sends a full document again, with what is new in it, is not counted twice', () => {
  const edit = writing(saidBy(participant), 'join');
  expect(edit(fill)).toBeUndefined();
  expect(edit((map) => map.set('x7', 'anew'), true)).toBeUndefined();
  expect(edit((map) => map.set('one more', 1), true)).toBe('too-large');
});

test('[R14] keys come to no more in one message or in many', () => {
  const edit = writing(saidBy(participant), 'join');
  for (let part = 0; part < 8; part += 1) {
    const fault = edit((map) => {
      for (let n = 0; n < MAX_KEYS / 8; n += 1) map.set(`${part}.${n}`, n);
    });
    expect(fault).toBeUndefined();
  }
  expect(edit((map) => map.set('one more', 1))).toBe('too-large');
  const inOne = writing(saidBy(participant), 'join');
  const fault = inOne((map) => {
    fill(map);
    map.set('one more', 1);
  });
  expect(fault).toBe('too-large');
});

test('[R14] what leaders write is not counted by its keys', () => {
  const edit = writing(LEAD_DOCUMENT, 'lead');
  expect(edit(fill)).toBeUndefined();
  expect(edit((map) => map.set('one more', 1))).toBeUndefined();
});
