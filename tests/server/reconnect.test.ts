import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { MeasureId, VariantId } from '../../lib/units';
import { writeHidden } from '../../shared/board/leading';
import { readBoard } from '../../shared/board/read';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { isProposedBy, writeSame } from '../../shared/board/same';
import { plainId } from '../../shared/board/schema';
import {
  takeBackProposal,
  writeApproval,
  writeName,
  writeOverruled,
  writePasses,
  writeProposal,
} from '../../shared/board/write';
import { Peer } from '../kit/peers';
import { eventually, ProviderPeer, sameFamilies } from '../kit/provider';
import type { TestBoard, TestServer } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

/** How many random sessions are played: some, or five hundred with PASSROUND_SESSIONS=500. */
const SESSIONS = Number(process.env.PASSROUND_SESSIONS ?? 12);

test('a provider comes back by itself after a restart, and what was said and led meanwhile arrives', async () => {
  const config = testConfig(testFolder());
  const server = await startTestServer({ config });
  const board = await server.create();
  const me = await server.visit(board, 'lead');
  const leader = new ProviderPeer(server.port, board, me);
  await eventually(() => leader.provider.synced, 'the leader is in');
  const [code] = await Promise.all([
    new Promise((closed) =>
      leader.provider.once('connection-close', (event) => closed(event?.code)),
    ),
    server.stop(),
  ]);
  expect(code).toBe(1012);
  writePasses(leader.open('lead'), 13);
  writeName(leader.open(saidBy(me.participant)), 'Sorrel');
  writeApproval(leader.open(ballotOf(me.participant)), plainId('m2' as MeasureId), true);
  const again = await startTestServer({ config: { ...config, port: server.port } });
  const witness = await Peer.joined(again, board, await again.visit(board, 'watch'));
  await witness.until(() => witness.sees?.passes === 13);
  await witness.until(() => witness.sees?.approvals[me.participant]?.length === 1);
  expect(witness.sees?.people.find(({ id }) => id === me.participant)?.name).toBe('Sorrel');
  expect(leader.refusals).toEqual([]);
});

type Act =
  | { readonly kind: 'drop' | 'return' }
  | {
      readonly kind:
        | 'name'
        | 'passes'
        | 'propose'
        | 'take back'
        | 'vote'
        | 'overrule'
        | 'hide'
        | 'same';
      readonly pick: number;
    };

const act: fc.Arbitrary<Act> = fc.oneof(
  { weight: 1, arbitrary: fc.constantFrom<Act>({ kind: 'drop' }, { kind: 'return' }) },
  {
    weight: 5,
    arbitrary: fc.record({
      kind: fc.constantFrom(
        'name',
        'passes',
        'propose',
        'take back',
        'vote',
        'overrule',
        'hide',
        'same',
      ),
      pick: fc.nat(20),
    }),
  },
);

function perform(peer: ProviderPeer, step: Act): void {
  const { participant, role } = peer.visitor;
  const said = () => peer.open(saidBy(participant));
  const mine = (): readonly VariantId[] =>
    (readBoard('x' as TestBoard['id'], peer.family)?.variants ?? [])
      .filter((variant) => isProposedBy(variant, participant))
      .map(({ id }) => id);
  const measures = readBoard('x' as TestBoard['id'], peer.family)?.tune.parts[0]?.measures ?? [];
  switch (step.kind) {
    case 'drop':
      peer.provider.disconnect();
      return;
    case 'return':
      peer.provider.connect();
      return;
    case 'name':
      writeName(said(), `name ${step.pick}`);
      return;
    case 'propose': {
      const measure = measures[step.pick % Math.max(1, measures.length)];
      if (!measure) return;
      const strokes = measure.strokes.slice(0, 1 + (step.pick % 4));
      writeProposal(said(), participant, { measure: measure.id, strokes, note: `${step.pick}` });
      return;
    }
    case 'take back': {
      const [id] = mine();
      if (id) takeBackProposal(said(), id);
      return;
    }
    case 'vote':
      writeApproval(
        peer.open(ballotOf(participant)),
        plainId(`m${1 + (step.pick % 5)}` as MeasureId),
        step.pick % 3 > 0,
      );
      return;
    case 'passes':
      if (role === 'lead') writePasses(peer.open('lead'), 1 + (step.pick % 17));
      return;
    case 'hide': {
      const seen = readBoard('x' as TestBoard['id'], peer.family)?.variants ?? [];
      const one = seen[step.pick % Math.max(1, seen.length)];
      if (role === 'lead' && one) writeHidden(peer.open('lead'), one.id, step.pick % 2 > 0);
      return;
    }
    case 'same': {
      const people = readBoard('x' as TestBoard['id'], peer.family)?.people ?? [];
      const [one, other] = [
        people[step.pick % people.length],
        people[(step.pick * 7) % people.length],
      ];
      if (role === 'lead' && one && other) writeSame(peer.open('lead'), one.id, other.id);
      return;
    }
    case 'overrule':
      if (role === 'lead')
        writeOverruled(
          peer.open('lead'),
          `m${1 + (step.pick % 5)}` as MeasureId,
          step.pick % 2 ? 'plain' : undefined,
        );
      return;
  }
}

async function peersOf(server: TestServer, board: TestBoard): Promise<readonly ProviderPeer[]> {
  const peers: ProviderPeer[] = [];
  for (const role of ['lead', 'lead', 'join', 'join', 'watch'] as const)
    peers.push(new ProviderPeer(server.port, board, await server.visit(board, role)));
  return peers;
}

test(
  'honest people who edit at random and come and go are never refused, and end with the same board, as does the disk',
  async () => {
    const config = testConfig(testFolder());
    const server = await startTestServer({ config });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(3), act), { minLength: 10, maxLength: 60 }),
        async (steps) => {
          const board = await server.create();
          const peers = await peersOf(server, board);
          await eventually(() => peers.every(({ provider }) => provider.synced), 'all are in');
          for (const [index, [who, step]] of steps.entries()) {
            const peer = peers[who];
            if (peer) perform(peer, step);
            if (index % 7 === 0) await new Promise((turn) => setImmediate(turn));
          }
          for (const { provider } of peers) provider.connect();
          const [first, ...others] = peers;
          if (!first) throw new Error('nobody is there');
          await eventually(() => peers.every(({ provider }) => provider.synced), 'all are back');
          await eventually(
            () => others.every((peer) => sameFamilies(first.family, peer.family)),
            'all have the same',
          );
          const seen = readBoard(board.id, first.family);
          for (const peer of others) expect(readBoard(board.id, peer.family)).toEqual(seen);
          expect(await server.host.readBoard(board.id)).toEqual(seen);
          // Who has just come back may say something new before what they did offline was asked for: then both are asked for, and nothing is lost.
          const refused = peers.flatMap(({ refusals }) => refusals);
          expect(refused.filter(({ code }) => code !== 'incomplete')).toEqual([]);
          for (const { provider } of peers) provider.destroy();
          await eventually(() => server.host.health().rooms === 0, 'the room is closed');
          expect(await server.host.readBoard(board.id)).toEqual(seen);
        },
      ),
      { seed: 4, numRuns: SESSIONS, endOnFailure: true },
    );
  },
  60_000 + SESSIONS * 2000,
);
