import { once } from 'node:events';
import { afterEach, beforeEach, describe, expect, onTestFinished, test, vi } from 'vitest';
import { WebSocket } from 'ws';
import type { Ms, ParticipantId } from '../../../lib/units';
import { MAX_PEOPLE, PRESENCE_WINDOW, SPREAD_A_SECOND, SPREAD_BURST } from '../../../server/limits';
import { newParticipantId } from '../../../server/links';
import { Gathering } from '../../../server/rooms/gathering';
import { Spreading } from '../../../server/rooms/spreading';
import { saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import type { AwarenessEntry } from '../../../shared/wire/awareness';
import { Peer } from '../../kit/peers';
import { here, presenceOf } from '../../kit/presence';
import { startTestServer } from '../../kit/server';

const OTHERS = 40;
/** No single page sends more messages than it may. */
const EDITS = 1900;

test('[R14] whose changes go to too many others is closed, on a second page too, and others go on', async () => {
  const server = await startTestServer();
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const watching = await server.visit(board, 'watch');
  const witness = await Peer.joined(server, board, watching);
  // Bare sockets that look at nothing: so many readers in one process would be slower than what they measure.
  const crowd = await Promise.all(
    Array.from({ length: OTHERS }, async () => {
      const url = `ws://127.0.0.1:${server.port}/sync/${board.id}?key=${board.secrets.join}`;
      const socket = new WebSocket(url);
      await once(socket, 'open');
      return socket;
    }),
  );
  onTestFinished(() => {
    for (const socket of crowd) socket.terminate();
  });
  const pages = [await Peer.joined(server, board, me), await Peer.joined(server, board, me)];
  const said = saidBy(me.participant);
  for (const page of pages)
    for (let turn = 0; turn < EDITS; turn += 1)
      page.edit(said, (doc) => writeName(doc, `Ash ${turn % 90}`));
  for (const page of pages) await page.until(() => page.closed !== undefined);
  expect(pages.map(({ closed }) => closed?.code)).toEqual([4429, 4429]);
  for (const { refusals } of pages) expect(refusals.at(-1)?.code).toBe('too-busy');
  const other = await server.visit(board, 'join');
  const theirs = await Peer.joined(server, board, other);
  theirs.edit(saidBy(other.participant), (doc) => writeName(doc, 'Sorrel'));
  await witness.until(() => witness.sees?.people.some(({ name }) => name === 'Sorrel') ?? false);
  expect(theirs.closed).toBeUndefined();
});

describe('what one person may spread', () => {
  const start = () => {
    let now = 0;
    const spreading = new Spreading(() => now as Ms);
    return { spreading, wait: (ms: number) => (now += ms) };
  };
  const me = newParticipantId();

  test('comes back with time, and not with a clock that is set back', () => {
    const { spreading, wait } = start();
    expect(spreading.charge(me, SPREAD_BURST)).toBe(true);
    expect(spreading.charge(me, 1)).toBe(false);
    wait(-60_000);
    expect(spreading.charge(me, 0)).toBe(false);
    wait(1000);
    expect(spreading.charge(me, SPREAD_A_SECOND - 1)).toBe(true);
    expect(spreading.charge(me, 2)).toBe(false);
  });

  test('is counted for each by themselves, and forgotten of whoever is quiet', () => {
    const { spreading, wait } = start();
    const people: readonly ParticipantId[] = Array.from({ length: 2 * MAX_PEOPLE }, () =>
      newParticipantId(),
    );
    for (const person of people) expect(spreading.charge(person, SPREAD_A_SECOND)).toBe(true);
    wait(500);
    spreading.charge(me, SPREAD_BURST + 1);
    expect(spreading.size).toBe(people.length + 1);
    wait(500);
    expect(spreading.charge(newParticipantId(), 1)).toBe(true);
    expect(spreading.size).toBe(2);
    expect(spreading.charge(me, 0)).toBe(true);
  });
});

describe('[R12] what pages say of themselves', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  function gathered() {
    const passed: { all: readonly AwarenessEntry[]; own: readonly AwarenessEntry[] }[] = [];
    const gathering = new Gathering((all, own) => passed.push({ all, own }));
    const say = (client: number, clock: number, isOwn = true) =>
      gathering.add([{ client, clock, presence: {} }], isOwn);
    return { passed, gathering, say };
  }

  test('goes out at once while it is little', () => {
    const { passed, say } = gathered();
    say(1, 1);
    say(2, 1, false);
    expect(passed.map(({ all, own }) => [all.length, own.length])).toEqual([
      [1, 1],
      [1, 0],
    ]);
  });

  test('goes out with the last word of each page at the end of each while, and then at once again', () => {
    const { passed, say } = gathered();
    for (let clock = 1; clock <= 100; clock += 1) say(1, clock);
    say(2, 1, false);
    expect(passed).toHaveLength(3);
    vi.advanceTimersByTime(PRESENCE_WINDOW);
    expect(passed[3]?.all.map(({ client, clock }) => [client, clock])).toEqual([
      [1, 100],
      [2, 1],
    ]);
    expect(passed[3]?.own.map(({ client }) => client)).toEqual([1]);
    vi.advanceTimersByTime(PRESENCE_WINDOW);
    say(1, 101);
    expect(passed).toHaveLength(5);
    expect(vi.getTimerCount()).toBe(1);
    vi.advanceTimersByTime(PRESENCE_WINDOW);
    expect(vi.getTimerCount()).toBe(0);
  });

  test('goes out at the end of a room', () => {
    const { passed, gathering, say } = gathered();
    for (let clock = 1; clock <= 4; clock += 1) say(1, clock);
    gathering.passNow();
    expect(passed.at(-1)?.all).toMatchObject([{ client: 1, clock: 4 }]);
  });
});

test('[R12] of a page that says something new without pause, others hear a few words and the last one', async () => {
  const server = await startTestServer();
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const mine = await Peer.joined(server, board, me);
  const yours = await Peer.joined(server, board, await server.visit(board, 'watch'));
  const words = 1500;
  for (let clock = 1; clock <= words; clock += 1)
    mine.send(
      presenceOf({
        client: 7,
        clock,
        state: { participant: me.participant, measure: clock < words ? `m${clock % 8}` : 'm9' },
      }),
    );
  const last = { participant: me.participant, measure: 'm9' };
  await yours.until(() => JSON.stringify(here(yours)) === JSON.stringify({ 7: last }));
  expect(yours.frames.filter(({ kind }) => kind === 'awareness').length).toBeLessThan(words / 10);
  expect(mine.closed).toBeUndefined();
});
