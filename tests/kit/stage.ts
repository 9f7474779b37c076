import * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import type { ServerOptions } from '../../server/serve';
import type { Role } from '../../shared/board/roles';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { writeApproval, writeName } from '../../shared/board/write';
import { Peer } from './peers';
import { here, presenceOf } from './presence';
import type { TestBoard, TestServer, Visitor } from './server';
import { startTestServer } from './server';

export interface Actor {
  readonly me: Visitor;
  readonly peer: Peer;
  /** Its awareness client. */
  readonly client: number;
}

/** A workshop that somebody attacks: a leader, two students with words and votes of their own, and somebody who only watches. */
export interface Stage {
  readonly server: TestServer;
  readonly board: TestBoard;
  readonly leader: Actor;
  readonly victim: Actor;
  readonly attacker: Actor;
  readonly witness: Actor;
}

async function actor(
  server: TestServer,
  board: TestBoard,
  role: Role,
  client: number,
): Promise<Actor> {
  const me = await server.visit(board, role);
  const peer = await Peer.joined(server, board, me);
  peer.send(presenceOf({ client, clock: 1, state: { participant: me.participant } }));
  await peer.settled();
  return { me, peer, client };
}

/**
 * @param fastClock a clock a thousand times as fast, so that no rate is too high
 * @param options of the server: a clock that the test moves, a store of its own
 */
export async function stage({
  fastClock = false,
  ...options
}: Partial<ServerOptions> & { readonly fastClock?: boolean } = {}): Promise<Stage> {
  const server = await startTestServer({
    lingerMs: 60_000,
    ...options,
    ...(fastClock ? { now: () => performance.now() * 1000 } : {}),
  });
  const board = await server.create();
  const leader = await actor(server, board, 'lead', 101);
  const victim = await actor(server, board, 'join', 102);
  const attacker = await actor(server, board, 'join', 103);
  const witness = await actor(server, board, 'watch', 104);
  for (const [{ me, peer }, name] of [
    [victim, 'Alder'],
    [attacker, 'Teasel'],
  ] as const) {
    peer.edit(saidBy(me.participant), (doc) => writeName(doc, name));
    peer.edit(ballotOf(me.participant), (doc) => writeApproval(doc, 'plain:m1', true));
    await peer.settled();
  }
  for (const { peer } of [leader, victim, attacker, witness]) {
    await peer.settled();
    await peer.until(() => Object.keys(here(peer)).length === 4);
  }
  return { server, board, leader, victim, attacker, witness };
}

/**
 * Every document, byte for byte in hex, as everybody but the attacker has it, as a newcomer is given it, and as it is on the page.
 * @param except leaves out the documents of one person, and the house, which notes what they put forward
 */
export async function replicas(
  { server, board, leader, victim, witness }: Stage,
  except?: ParticipantId,
): Promise<Readonly<Record<string, string>>> {
  const visitor = await server.visit(board, 'watch');
  const newcomer = await Peer.joined(server, board, visitor);
  // What pages say of themselves may go out a moment later: whoever hears this has heard all that came before.
  const client = new Y.Doc().clientID;
  newcomer.send(presenceOf({ client, clock: 1, state: { participant: visitor.participant } }));
  const all = { leader, victim, witness, newcomer: { peer: newcomer } };
  const states: Record<string, string> = {};
  for (const [who, { peer }] of Object.entries(all)) {
    await peer.settled();
    await peer.until(() => `${client}` in here(peer));
    for (const name of peer.family.names().toSorted()) {
      if (except && (name.endsWith(except) || name === 'house')) continue;
      states[`${who} ${name}`] = Buffer.from(
        Y.encodeStateAsUpdate(peer.family.open(name)),
      ).toString('hex');
    }
    const { [client]: _, ...others } = here(peer);
    states[`${who} presence`] = except ? '' : JSON.stringify(others);
  }
  await newcomer.leave();
  return states;
}
