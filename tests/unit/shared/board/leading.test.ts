import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { areBallotsHeld, isFrozen } from '../../../../shared/board/leading';
import { LEAD } from '../../../../shared/board/schema';

function ordered(orders: Readonly<Record<string, unknown>>): Y.Doc {
  const lead = new Y.Doc();
  for (const [key, value] of Object.entries(orders)) lead.getMap(LEAD.choice).set(key, value);
  return lead;
}

test('a plain yes is an order', () => {
  expect(isFrozen(ordered({ frozen: true }))).toBe(true);
  expect(areBallotsHeld(ordered({ secretBallots: true }))).toBe(true);
});

test.each([false, null, 1, 'true', [true], { on: true }, new Uint8Array([1])])(
  '%j is no order, whoever wrote it',
  (value) => {
    expect(isFrozen(ordered({ frozen: value }))).toBe(false);
    expect(areBallotsHeld(ordered({ secretBallots: value }))).toBe(false);
  },
);

test('without a word a board is open', () => {
  expect(isFrozen(ordered({}))).toBe(false);
  expect(areBallotsHeld(ordered({}))).toBe(false);
});

test('ballots are held back until the voting is over', () => {
  expect(areBallotsHeld(ordered({ secretBallots: true, voting: 'closed' }))).toBe(false);
  expect(areBallotsHeld(ordered({ secretBallots: true, voting: 'agreed' }))).toBe(false);
});
