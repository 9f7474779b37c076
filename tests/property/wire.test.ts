import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { saidBy } from '../../shared/board/roles';
import type { Down } from '../../shared/wire/down';
import {
  awarenessFrame,
  parseDown,
  parseUp,
  readFrame,
  syncFrame,
  wordFrame,
} from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';

const SOMEBODY = 'abcdefghijkl' as ParticipantId;
const documents = fc.constantFrom<DocumentName>('lead', 'house', saidBy(SOMEBODY));
const steps = fc.constantFrom(SYNC.step1, SYNC.step2, SYNC.update);

test('a sync message is read as it was written, for every document', () => {
  fc.assert(
    fc.property(documents, steps, fc.uint8Array(), (document, step, bytes) => {
      expect(readFrame(syncFrame(document, step, bytes))).toEqual({
        kind: 'sync',
        document,
        step,
        bytes,
      });
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('presence is read as it was written', () => {
  fc.assert(
    fc.property(fc.uint8Array(), (bytes) => {
      expect(readFrame(awarenessFrame(bytes))).toEqual({ kind: 'awareness', bytes });
    }),
    { seed: 1, numRuns: 100 },
  );
});

const ms = fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);
const downs: fc.Arbitrary<Down> = fc.oneof(
  fc.record({ kind: fc.constant('time' as const), t1: ms, t2: ms, t3: ms }),
  fc.record(
    {
      kind: fc.constant('refused' as const),
      code: fc.constantFrom('not-yours', 'incomplete', 'not-kept'),
      document: fc.string(),
      words: fc.string({ unit: 'binary' }),
    },
    { requiredKeys: ['kind', 'code', 'words'] },
  ),
  fc.record({
    kind: fc.constant('welcome' as const),
    version: fc.nat(),
    participant: fc.constant(SOMEBODY),
    role: fc.constantFrom('lead', 'join', 'watch'),
  }),
);

test('a word of the server is read as it was said', () => {
  fc.assert(
    fc.property(downs, (word) => {
      const frame = readFrame(wordFrame(word));
      expect(frame.kind).toBe('word');
      // JSON knows one zero only.
      if (frame.kind === 'word')
        expect(parseDown(frame.text)).toEqual(JSON.parse(JSON.stringify(word)));
    }),
    { seed: 1, numRuns: 300 },
  );
});

test('a question for the time is read as it was asked', () => {
  fc.assert(
    fc.property(ms, (t1) => {
      const frame = readFrame(wordFrame({ kind: 'ask-time', t1 }));
      if (frame.kind !== 'word') throw new Error('no word');
      expect(parseUp(frame.text)).toEqual({ kind: 'ask-time', t1: expect.closeTo(t1, 10) });
    }),
    { seed: 1, numRuns: 100 },
  );
});

test('no bytes make reading throw, and a message that was cut is never taken for a whole one', () => {
  fc.assert(
    fc.property(
      documents,
      steps,
      fc.uint8Array({ minLength: 1 }),
      fc.nat(),
      (name, step, bytes, cut) => {
        const whole = syncFrame(name, step, bytes);
        const part = whole.slice(0, cut % whole.length);
        expect(readFrame(part).kind).toBe('unreadable');
        readFrame(bytes);
      },
    ),
    { seed: 1, numRuns: 500 },
  );
});

test('no text makes parsing a word throw', () => {
  fc.assert(
    fc.property(fc.oneof(fc.string(), fc.json()), (text) => {
      expect([parseUp(text), parseDown(text)]).toEqual([undefined, undefined]);
    }),
    { seed: 1, numRuns: 300 },
  );
});
