import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { playedValue } from '../../../../shared/board/played';
import * as schema from '../../../../shared/board/schema';
import * as values from '../../../../shared/board/values';
import { down } from '../../../../shared/wire/down';
import { KIND, SYNC } from '../../../../shared/wire/kind';
import { presence } from '../../../../shared/wire/presence';
import { up } from '../../../../shared/wire/up';
import { WIRE_VERSION } from '../../../../shared/wire/version';

/** What a schema says, as JSON: kinds, fields, options, limits and patterns; functions by their place only. */
function shapeOf(value: unknown): string {
  return JSON.stringify(value, (key, part: unknown) => {
    if (key.startsWith('~')) return undefined;
    if (part instanceof RegExp) return `${part}`;
    if (typeof part === 'bigint' || part === Number.POSITIVE_INFINITY) return `${part}`;
    return typeof part === 'function' ? 'function' : part;
  });
}

function fingerprintOf(parts: Readonly<Record<string, unknown>>): string {
  return createHash('sha256').update(shapeOf(parts)).digest('hex').slice(0, 16);
}

const WIRE = { KIND, SYNC, up, down, presence };
const { LEAD, SAID, BALLOT, HOUSE, OVER_PREFIX, ASIDE_PREFIX, PLAYED_PREFIX } = schema;
const KEYS = { LEAD, SAID, BALLOT, HOUSE, OVER_PREFIX, ASIDE_PREFIX, PLAYED_PREFIX };
/** By name: where in its file a value stands is no change. */
const BOARD = Object.fromEntries(
  Object.entries({ ...values, playedValue, ...KEYS }).sort(([a], [b]) => (a < b ? -1 : 1)),
);

/** One line a version. Who changes the wire or the documents writes a new one, and says in version.ts or schema.ts what is new. */
const WIRE_VERSIONS: Readonly<Record<number, string>> = {
  1: '2c61fff98b7c7f9f',
  2: 'd8041e67929d7d1b',
  3: '141e31cf71557eea',
  4: 'f7b7ecc980705bcc',
  5: 'f0eec4328846fc67',
};
const SCHEMA_VERSIONS: Readonly<Record<number, string>> = { 1: 'ec750ce7f0c4bf67' };

test('nobody changes the messages without a new version', () => {
  expect({ [WIRE_VERSION]: fingerprintOf(WIRE) }).toEqual({
    [WIRE_VERSION]: WIRE_VERSIONS[WIRE_VERSION],
  });
});

test('nobody changes the documents without a new version', () => {
  expect({ [schema.SCHEMA_VERSION]: fingerprintOf(BOARD) }).toEqual({
    [schema.SCHEMA_VERSION]: SCHEMA_VERSIONS[schema.SCHEMA_VERSION],
  });
});

test('the fingerprint sees a field that comes, goes or changes', () => {
  const prints = [
    WIRE,
    { ...WIRE, KIND: { ...KIND, word: 102 } },
    { ...WIRE, up: down },
    { ...WIRE, presence: { ...presence, entries: { participant: presence.entries.participant } } },
    { ...WIRE, down: { ...down, options: down.options.slice(1) } },
  ].map(fingerprintOf);
  expect(new Set(prints).size).toBe(prints.length);
});
