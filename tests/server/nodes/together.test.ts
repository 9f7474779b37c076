import { afterAll, beforeAll, expect, test } from 'vitest';
import type { VariantId } from '../../../lib/units';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import type { Plan } from '../../../shared/board/schema';
import {
  writeAgreed,
  writeApproval,
  writeName,
  writePasses,
  writeProposal,
  writeTransport,
  writeVotingOpen,
} from '../../../shared/board/write';
import { wordFrame } from '../../../shared/wire/frame';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { startNode, untilAgreed } from '../../kit/nodes';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  /** A leader, a joiner and another joiner, each on a node of their own. */
  async function threeNodes() {
    const url = await engines.postgres.newDatabase();
    const start = () => startNode(url, engines.redis.url);
    const nodes = [await start(), await start(), await start()] as const;
    const board = await nodes[0].create();
    const people = [
      await nodes[0].visit(board, 'lead'),
      await nodes[1].visit(board, 'join'),
      await nodes[2].visit(board, 'join'),
    ] as const;
    const peers = [
      await Peer.joined(nodes[0], board, people[0]),
      await Peer.joined(nodes[1], board, people[1]),
      await Peer.joined(nodes[2], board, people[2]),
    ] as const;
    return { nodes, board, people, peers };
  }

  const measureOf = (peer: Peer) => {
    const measure = peer.sees?.tune.parts[0]?.measures[0];
    if (!measure) throw new Error('the board has no measure');
    return measure;
  };

  test('a cookie of one node is good on every other', async () => {
    const { nodes, board, people } = await threeNodes();
    for (const node of nodes)
      expect((await node.host.visitorOf(board.id, people[1].cookie))?.participant).toBe(
        people[1].participant,
      );
  });

  test('[R20] a link that is made new on one node ends the old one on every node, for sockets, pages and links that are opened', async () => {
    const { nodes, board, people, peers } = await threeNodes();
    const key = board.secrets.join;
    const neverIn = await nodes[1].visit(board, 'join');
    for (const node of nodes) {
      expect(await node.host.mayRead(board.id, neverIn.cookie, undefined)).toBe(true);
      expect(await node.host.mayRead(board.id, undefined, key)).toBe(true);
      expect(await node.host.openLink(key, undefined)).toMatchObject({ role: 'join' });
    }
    const [leader] = peers;
    leader.send(wordFrame({ kind: 'renew-link', role: 'join' }));
    const told = () => leader.words.flatMap((word) => (word.kind === 'new-link' ? [word] : []));
    await leader.until(() => told().length > 0);
    const fresh = told()[0]?.path.replace('/join/', '') ?? '';
    for (const node of nodes) {
      expect(await node.host.mayRead(board.id, undefined, key)).toBe(false);
      expect(await node.host.openLink(key, undefined)).toBeUndefined();
      await expect(Peer.open(node, board, { key })).rejects.toThrow('401');
      expect(await node.host.mayRead(board.id, undefined, fresh)).toBe(true);
      // Nor by a cookie that it gave to somebody who was never in; who was, is.
      expect(await node.host.mayRead(board.id, neverIn.cookie, undefined)).toBe(false);
      await expect(Peer.open(node, board, neverIn)).rejects.toThrow('401');
      for (const { cookie } of people)
        expect(await node.host.mayRead(board.id, cookie, undefined)).toBe(true);
    }
  });

  test('[R22] [R23] what was agreed on one node is looked at and returned to on another, once, and without who is gone', async () => {
    const { nodes, board, people, peers } = await threeNodes();
    const [leader, ash, bo] = peers;
    const { cookie } = people[0];
    const { host } = nodes[2];
    const { id, strokes } = measureOf(ash);
    let variant = '' as VariantId;
    ash.edit(saidBy(people[1].participant), (doc) => {
      const proposal = { measure: id, strokes: strokes.slice(1), note: '' };
      variant = writeProposal(doc, people[1].participant, proposal);
    });
    await leader.until(() => leader.sees?.variants.some((one) => one.id === variant) ?? false);
    const plan: Plan = {
      passes: [{ [id]: variant }, { [id]: 'plain' }],
      variants: { [variant]: { measure: id, strokes: strokes.slice(1), by: '' } },
    };
    leader.edit('lead', (doc) => writeAgreed(doc, plan));
    await bo.until(() => bo.sees?.plan !== undefined);
    const agreed = async () => {
      const listed = await host.listPast(board.id, cookie);
      return listed.ok ? listed.value.filter(({ why }) => why === 'agreed') : [];
    };
    await eventually(async () => (await agreed()).length > 0, 'the agreement is kept');
    leader.edit('lead', (doc) => writePasses(doc, 17));
    await bo.until(() => bo.sees?.passes === 17);
    const [point] = await agreed();
    const past = async () => {
      const read = await host.readPast(board.id, point?.number ?? 0, cookie);
      return read.ok ? read.value.board : undefined;
    };
    expect((await past())?.plan?.passes[0]?.[id]).toBe(variant);
    leader.send(wordFrame({ kind: 'remove-person', participant: people[1].participant }));
    await bo.until(() => (bo.sees?.gone.length ?? 0) > 0);
    expect((await past())?.plan?.passes[0]?.[id]).toBe('plain');
    expect(JSON.stringify({ ...(await past()), gone: [] })).not.toContain(people[1].participant);
    expect(await host.returnToPast(board.id, point?.number ?? 0, cookie)).toMatchObject({
      ok: true,
    });
    await leader.until(() => leader.sees?.returned !== undefined && leader.sees.passes !== 17);
    await untilAgreed([leader, bo]);
    expect(await agreed()).toHaveLength(1);
  });

  test('edits, proposals and votes of one node are seen on the others and on every page', async () => {
    const { nodes, board, people, peers } = await threeNodes();
    const [leader, ash, bo] = peers;
    const { id, strokes } = measureOf(ash);
    const said = saidBy(people[1].participant);
    ash.edit(said, (doc) => writeName(doc, 'Ash'));
    let variant = '';
    ash.edit(said, (doc) => {
      const fewer = strokes.slice(0, 1);
      variant = writeProposal(doc, people[1].participant, {
        measure: id,
        strokes: fewer,
        note: '',
      });
    });
    const mine = (peer: Peer) => peer.sees?.variants.find((shown) => shown.id === variant);
    await bo.until(() => mine(bo) !== undefined);
    bo.edit(ballotOf(people[2].participant), (doc) => {
      const seen = mine(bo);
      if (seen) writeApproval(doc, seen.id, true);
    });
    leader.edit('lead', (doc) => writePasses(doc, 7));
    leader.edit('lead', (doc) => writeTransport(doc, { kind: 'stopped' }));
    for (const peer of peers)
      await peer.until(
        () =>
          peer.sees?.passes === 7 &&
          peer.sees.people.some(({ name }) => name === 'Ash') &&
          peer.sees.approvals[people[2].participant]?.length === 1,
      );
    await untilAgreed(peers);
    for (const node of nodes) {
      const page = await node.host.readBoard(board.id);
      expect(page).toMatchObject({ passes: 7, leftOut: [] });
      expect(page?.variants.at(-1)?.id).toBe(variant);
    }
  });

  test('[R7] proposals that arrive on three nodes at once have one order, without a place twice', async () => {
    const { people, peers, nodes, board } = await threeNodes();
    const { id } = measureOf(peers[1]);
    const [, ash, bo] = peers;
    for (let turn = 0; turn < 20; turn += 1)
      for (const [peer, person] of [
        [ash, people[1]],
        [bo, people[2]],
      ] as const)
        peer.edit(saidBy(person.participant), (doc) => {
          const strokes = measureOf(peer).strokes.map((stroke) => ({ ...stroke }));
          const changed = strokes.slice(0, 1 + (turn % strokes.length));
          const note = `${turn}`;
          // A variant is named by its strokes, so each turn has others: shorter, then with other frets.
          const fret = Math.floor(turn / strokes.length);
          writeProposal(doc, person.participant, {
            measure: id,
            strokes: changed.map((stroke) => ({
              ...stroke,
              notes: stroke.notes.map((played) => ({ ...played, fret: played.fret + fret })),
            })) as typeof strokes,
            note,
          });
        });
    const placesOf = (peer: Peer) => [...peer.family.house.getMap<number>('arrived').entries()];
    for (const peer of peers) await eventually(() => placesOf(peer).length >= 24, 'all are noted');
    await untilAgreed(peers);
    const places = placesOf(peers[0])
      .map(([, place]) => place)
      .sort((a, b) => a - b);
    expect(places).toEqual(places.map((_, index) => index));
    // What is on disk says the same.
    for (const node of nodes) await node.stop();
    const again = await startNode(nodes[0].config.databaseUrl ?? '', undefined);
    const witness = await Peer.joined(again, board, people[0]);
    await witness.settled();
    expect(new Map(placesOf(witness))).toEqual(new Map(placesOf(peers[0])));
  });

  test('[R2] what the leader closes on one node is refused on the others', async () => {
    const { people, peers } = await threeNodes();
    const [leader, ash] = peers;
    const ballot = ballotOf(people[1].participant);
    leader.edit('lead', (doc) => doc.getMap('choice').set('voting', 'closed'));
    await ash.until(() => ash.sees?.voting === 'closed');
    ash.edit(ballot, (doc) => writeApproval(doc, `plain:${measureOf(ash).id}`, true));
    await ash.until(() => ash.refusals.length > 0);
    expect(ash.refusals.map(({ code }) => code)).toEqual(['voting-closed']);
    leader.edit('lead', (doc) => writeVotingOpen(doc));
    // Asked again by its own node, the browser sends what waited there.
    await ash.until(() =>
      ash.frames.some(
        (frame) => frame.kind === 'sync' && frame.document === ballot && frame.step === 0,
      ),
    );
  });

  test('[R17] who is taken out on one node is out on all, with everything', async () => {
    const { nodes, board, people, peers } = await threeNodes();
    const [leader, ash, bo] = peers;
    const gone = people[1].participant;
    ash.edit(saidBy(gone), (doc) => writeName(doc, 'Ash'));
    await bo.until(() => bo.sees?.people.some(({ name }) => name === 'Ash') ?? false);
    // Still writing, on another node, while they are taken out.
    const busy = setInterval(() => {
      if (!ash.closed) ash.edit(saidBy(gone), (doc) => writeName(doc, `Ash ${Math.random()}`));
    }, 1);
    leader.send(wordFrame({ kind: 'remove-person', participant: gone }));
    await ash.until(() => ash.closed !== undefined);
    clearInterval(busy);
    expect(ash.closed?.code).toBe(4403);
    for (const node of nodes) {
      const page = await node.host.readBoard(board.id);
      expect(page?.people.map(({ id }) => id)).not.toContain(gone);
      expect(page?.gone.map(({ id }) => id)).toEqual([gone]);
    }
    await leader.settled();
    for (const node of nodes) await node.stop();
    const again = await startNode(nodes[0].config.databaseUrl ?? '', undefined);
    const witness = await Peer.joined(again, board, people[0]);
    await witness.settled();
    expect(witness.family.names()).not.toContain(saidBy(gone));
    expect(witness.sees?.people.map(({ id }) => id)).not.toContain(gone);
  });

  test('[R15] logs are shortened by one node at a time, and nothing is lost by it', async () => {
    const { nodes, board, people, peers } = await threeNodes();
    const [leader, ash] = peers;
    for (let turn = 0; turn < 600; turn += 1) {
      leader.edit('lead', (doc) => writePasses(doc, 1 + (turn % 17)));
      ash.edit(saidBy(people[1].participant), (doc) => writeName(doc, `Ash ${turn}`));
      if (turn % 50 === 0) await leader.settled();
    }
    await leader.settled();
    await ash.settled();
    await untilAgreed(peers);
    for (const node of nodes) await node.stop();
    const again = await startNode(nodes[0].config.databaseUrl ?? '', undefined);
    const page = await again.host.readBoard(board.id);
    expect(page?.passes).toBe(1 + (599 % 17));
    expect(page?.people.map(({ name }) => name)).toContain('Ash 599');
    const witness = await Peer.joined(again, board, people[0]);
    await witness.settled();
    await untilAgreed([witness, leader]);
  }, 60_000);
});
