import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { BoardId, ParticipantId } from '../../../lib/units';
import type { JournalEntry } from '../../../server/store/journal';
import {
  crc32,
  isSystemError,
  Journal,
  journalRecord,
  newToken,
  readJournal,
} from '../../../server/store/journal';
import { StoreError } from '../../../server/store/store';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import { testFolder } from '../../kit/server';

const id = fc.stringMatching(/^[a-z0-9]{12}$/);
const document = fc.oneof(
  fc.constantFrom('lead' as const, 'house' as const),
  id.map((owner) => saidBy(owner as ParticipantId)),
  id.map((owner) => ballotOf(owner as ParticipantId)),
);
const entry: fc.Arbitrary<JournalEntry> = fc.record({
  board: id.map((board) => board as BoardId),
  entries: fc.array(fc.record({ document, update: fc.uint8Array({ maxLength: 300 }) }), {
    maxLength: 4,
  }),
});
const tokens = fc.uint8Array({ minLength: 8, maxLength: 8 });

const fileOf = (entries: readonly JournalEntry[], token: Uint8Array) =>
  Buffer.concat(entries.map((each) => journalRecord(each, token)));

const plain = (entries: readonly JournalEntry[]) =>
  entries.map(({ board, entries: all }) => [
    board,
    all.map(({ document: name, update }) => [name, [...update]]),
  ]);

test('what is written is read, in its order, whatever follows it in the file', () => {
  fc.assert(
    fc.property(fc.array(entry), tokens, fc.uint8Array(), (entries, token, rest) => {
      const file = fileOf(entries, token);
      const read = readJournal(Buffer.concat([file, rest]), token);
      expect(plain(read.entries)).toEqual(plain(entries));
      expect(read.end).toBe(file.length);
    }),
    { seed: 1 },
  );
});

test('a file that was torn anywhere gives every record before the tear and nothing of the torn one', () => {
  fc.assert(
    fc.property(
      fc.array(entry, { minLength: 1 }),
      tokens,
      fc.nat(),
      fc.boolean(),
      (entries, token, at, cut) => {
        const file = fileOf(entries, token);
        const tear = at % file.length;
        if (!cut) file[tear] = (file[tear] ?? 0) ^ (1 + (at % 255));
        const read = readJournal(cut ? file.subarray(0, tear) : file, token);
        let whole = 0;
        let end = 0;
        for (const each of entries) {
          const next = end + journalRecord(each, token).length;
          if (next > tear) break;
          end = next;
          whole += 1;
        }
        expect(plain(read.entries)).toEqual(plain(entries.slice(0, whole)));
        expect(read.end).toBe(end);
      },
    ),
    { seed: 2, numRuns: 500 },
  );
});

test('records of another use of the file are not read, also where they follow those of this one', () => {
  fc.assert(
    fc.property(fc.array(entry), fc.array(entry), tokens, tokens, (now, before, token, old) => {
      fc.pre(!Buffer.from(token).equals(old));
      const file = Buffer.concat([fileOf(now, token), fileOf(before, old)]);
      expect(readJournal(file, token).entries).toHaveLength(now.length);
    }),
    { seed: 3 },
  );
});

test('a whole record that says what nobody knows is told, not passed over', () => {
  const token = newToken();
  const unknown = { board: 'abcdefghijkl' as BoardId, entries: [] };
  const strange = journalRecord({ ...unknown, board: 'NOT A BOARD' as BoardId }, token);
  expect(readJournal(journalRecord(unknown, token), token).entries).toHaveLength(1);
  expect(() => readJournal(strange, token)).toThrow(StoreError);
});

const one = (letter: string): JournalEntry => ({
  board: 'abcdefghijkl' as BoardId,
  entries: [{ document: 'lead', update: new Uint8Array(Buffer.from(letter.repeat(20))) }],
});

/** @returns the system's error, if it could not be written */
function append(journal: Journal, ...entries: readonly JournalEntry[]): Promise<unknown> {
  return new Promise((done) =>
    journal.append(
      entries.map((each) => journal.record(each)),
      done,
    ),
  );
}

// Source: gzip's own trailer (RFC 1952, section 2.3.1), as zlib writes it; "123456789" is the check value of the catalogues, from memory.
test('the sum is that of gzip', () => {
  expect(crc32(Buffer.from('123456789'))).toBe(0xcbf43926);
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 5000 }), (bytes) => {
      expect(crc32(bytes)).toBe(gzipSync(bytes).readUInt32LE(gzipSync(bytes).length - 8));
    }),
    { seed: 4 },
  );
});

test('a file is written on where it ended, from its beginning after a new token, and wiped altogether', async () => {
  const path = join(testFolder(), 'journal');
  const token = newToken();
  const first = Journal.open(path, token);
  await append(first, one('a'), one('b'));
  first.close();
  const second = Journal.open(path, token);
  expect(plain(second.found)).toEqual(plain([one('a'), one('b')]));
  await append(second, one('c'));
  const size = statSync(path).size;
  expect(second.length).toBe(size);
  const next = newToken();
  second.restart(next);
  await append(second, one('d'));
  expect(statSync(path).size).toBe(size);
  expect(plain(readJournal(readFileSync(path), next).entries)).toEqual(plain([one('d')]));
  expect(readFileSync(path, 'latin1')).toContain('bbbb');
  second.restart(newToken());
  second.wipe();
  expect(readFileSync(path)).toEqual(Buffer.alloc(size));
  second.close();
});

test('a journal that could not be written is not written on under the same token', async () => {
  const path = join(testFolder(), 'journal');
  writeFileSync(path, '');
  const journal = Journal.open(path, newToken());
  journal.close();
  expect(isSystemError(await append(journal, one('a')))).toBe(true);
  expect(journal.isUsable).toBe(false);
  journal.restart(newToken());
  expect(journal.isUsable).toBe(true);
});
