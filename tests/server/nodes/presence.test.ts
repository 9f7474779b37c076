import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { FaultyFanout, seeded } from '../../kit/hub';
import { startNode } from '../../kit/nodes';
import { Peer } from '../../kit/peers';
import { here, presenceOf } from '../../kit/presence';

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  const lookingAt = (measure: string, person: { participant: string }) => ({
    participant: person.participant,
    measure,
  });

  test('[R12] who is here and what they look at is seen on every node, by newcomers too, until they leave', async () => {
    const url = await engines.postgres.newDatabase();
    const [one, two] = [
      await startNode(url, engines.redis.url),
      await startNode(url, engines.redis.url),
    ];
    const board = await one.create();
    const [me, you] = [await one.visit(board, 'join'), await one.visit(board, 'watch')];
    const mine = await Peer.joined(one, board, me);
    mine.send(presenceOf({ client: 7, clock: 1, state: lookingAt('m3', me) }));
    await mine.heard();
    // Comes after it was said: asked for, and told.
    const yours = await Peer.joined(two, board, you);
    await yours.until(() => 7 in here(yours));
    mine.send(presenceOf({ client: 7, clock: 2, state: lookingAt('m4', me) }));
    await yours.until(() => JSON.stringify(here(yours)).includes('m4'));
    await mine.leave();
    await yours.until(() => !(7 in here(yours)));
  });

  test('[R12] who changes nodes is there, and the end of the old line ends nothing', async () => {
    const url = await engines.postgres.newDatabase();
    const start = () => startNode(url, engines.redis.url);
    const [one, two, three] = [await start(), await start(), await start()];
    const board = await one.create();
    const [me, you] = [await one.visit(board, 'join'), await one.visit(board, 'watch')];
    const yours = await Peer.joined(three, board, you);
    let mine = await Peer.joined(one, board, me);
    mine.send(presenceOf({ client: 7, clock: 1, state: lookingAt('m1', me) }));
    await yours.until(() => 7 in here(yours));
    for (const [turn, node] of [two, one, two, three, one].entries()) {
      const next = await Peer.joined(node, board, me);
      // As a page does on each new line: its state with the next clock.
      next.send(presenceOf({ client: 7, clock: turn + 2, state: lookingAt(`m${turn + 2}`, me) }));
      await next.heard();
      await mine.leave();
      mine = next;
      await yours.until(() => JSON.stringify(here(yours)).includes(`m${turn + 2}`));
    }
    // The end of an old line, whenever it is heard, takes nobody away who is on a new one.
    const end = presenceOf({ client: 9, clock: 1, state: lookingAt('m9', me) });
    mine.send(end);
    await yours.until(() => 9 in here(yours));
    expect(here(yours)[7]).toEqual(lookingAt('m6', me));
  });

  /** Says where somebody looks, and says it anew whenever the server asks, as a page does: with the next clock each time. */
  function saysAnew(peer: Peer, client: number, state: unknown): void {
    let clock = 0;
    const say = () => {
      clock += 1;
      peer.send(presenceOf({ client, clock, state }));
    };
    peer.socket.on('message', () => {
      if (peer.frames.at(-1)?.kind === 'query-awareness') say();
    });
    say();
  }

  test('[R12] the people of a node that is silent are gone after a while, but not those who came to another', async () => {
    const url = await engines.postgres.newDatabase();
    const times = { roundMs: 50, silenceMs: 800 };
    let line: FaultyFanout | undefined;
    const one = await startNode(url, engines.redis.url, {
      ...times,
      fanout: (real) => {
        line = new FaultyFanout(real, { lost: 0, doubled: 0, late: 0 }, seeded(1));
        return line;
      },
    });
    const two = await startNode(url, engines.redis.url, times);
    const board = await one.create();
    const people = [await one.visit(board, 'join'), await one.visit(board, 'join')] as const;
    const yours = await Peer.joined(two, board, await two.visit(board, 'watch'));
    for (const [at, person] of people.entries()) {
      const peer = await Peer.joined(one, board, person);
      saysAnew(peer, 7 + at, lookingAt('m1', person));
      await yours.until(() => 7 + at in here(yours));
    }
    line?.cut();
    const moved = await Peer.joined(two, board, people[1]);
    // A page takes its clock along; that of somebody new is higher than any before.
    moved.send(presenceOf({ client: 8, clock: 1000, state: lookingAt('m2', people[1]) }));
    await yours.until(() => !(7 in here(yours)));
    expect(here(yours)).toEqual({ 8: lookingAt('m2', people[1]) });
    // When it is heard again, its people are asked and say themselves anew; y-protocols takes no state twice.
    line?.mend();
    await yours.until(() => 7 in here(yours));
    expect(here(yours)[8]).toEqual(lookingAt('m2', people[1]));
  });
});
