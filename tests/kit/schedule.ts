import * as Y from 'yjs';
import { serverNow } from '../../server/clock';
import { DocumentFamily } from '../../shared/board/documents';
import { LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import { writeName, writePasses } from '../../shared/board/write';
import { FaultyFanout, seeded } from './hub';
import { MemoryHub } from './memory-hub';
import { MemoryDatabase, MemoryStore } from './memory-store';
import { startNode } from './nodes';
import { eventually, sameFamilies } from './provider';
import { Roamer } from './roamer';
import type { TestBoard, TestServer } from './server';

/** One server of a schedule, with its lines to the others and to the database. */
interface Node {
  readonly server: TestServer;
  readonly fanout: FaultyFanout;
  readonly line: { isCut: boolean };
  /** A node that was killed is never used again. */
  isDead: boolean;
}

const NODES = 3;
const STEPS = 60;
const HOUR = 3_600_000;

/** How often what went wrong, over all schedules of a run: a schedule in which nothing happens shows nothing. */
export interface Tally {
  cuts: number;
  kills: number;
  moves: number;
  edits: number;
  notKept: number;
  refused: number;
  lost: number;
  doubled: number;
  late: number;
}

/**
 * A random schedule of faults by its seed: three servers whose messages are lost, doubled and late, whose lines to one another and to the database
 * are cut, slow and lose answers, whose clocks are hours apart and which are killed, while people write on them, move between them, and one tries to
 * write what they may not.
 * @throws Error that names the seed, if anything anybody saw was not on disk at that moment, if a refused write is anywhere, or if not all end the same
 */
export class Schedule {
  private readonly random: () => number;
  private readonly database = new MemoryDatabase();
  private readonly hub = new MemoryHub();
  private readonly nodes: Node[] = [];
  private readonly people: Roamer[] = [];
  /** No faults: while the board is made, and in the end. */
  private calm = true;

  constructor(
    readonly seed: number,
    private readonly tally: Tally,
  ) {
    this.random = seeded(seed);
  }

  async run(): Promise<void> {
    for (let at = 0; at < NODES; at += 1) this.nodes.push(await this.newNode());
    const board = await this.nodeAt(0).server.create();
    for (const role of ['lead', 'join', 'join'] as const) {
      const visitor = await this.nodeAt(0).server.visit(board, role);
      const person = new Roamer(board.id, visitor);
      this.people.push(person);
      await person.goTo(this.anyNode().server.port);
    }
    const intruder = new Roamer(board.id, await this.nodeAt(0).server.visit(board, 'join'));
    this.calm = false;
    for (let step = 0; step < STEPS; step += 1) {
      await this.act(step, intruder);
      if (step % 6 === 0) this.nothingSeenIsOffDisk(board);
      if (this.random() < 0.5) await new Promise((turn) => setTimeout(turn, 1));
    }
    await this.heal(board, intruder);
  }

  private async newNode(): Promise<Node> {
    const line = {
      isCut: false,
      isSlow: () => !this.calm && this.random() < 0.1,
      losesAnswer: () => !this.calm && this.random() < 0.02,
    };
    const store = new MemoryStore(this.database, line);
    const ahead = (this.random() - 0.5) * 4 * HOUR;
    let fanout: FaultyFanout | undefined;
    const lines = this.hub;
    for (let tries = 0; ; tries += 1)
      try {
        const server = await startNode('postgres://in.memory/only', undefined, {
          store,
          local: () => serverNow() + ahead,
          patienceMs: 60,
          roundMs: 25,
          fanout: () => {
            fanout = new FaultyFanout(
              lines.line(),
              { lost: 0.2, doubled: 0.2, late: 0.2 },
              this.random,
            );
            return fanout;
          },
        });
        if (!fanout) throw new Error('no fan-out was opened');
        return { server, fanout, line, isDead: false };
      } catch (error) {
        // A server does not start without its database; whoever runs it starts it again.
        if (tries > 20) throw error;
      }
  }

  private async act(step: number, intruder: Roamer): Promise<void> {
    const act = this.random();
    const node = this.anyNode();
    const person = this.people[this.pick(this.people.length)];
    if (!person) throw new RangeError('nobody');
    if (act < 0.06) {
      node.fanout.cut();
      this.tally.cuts += 1;
    } else if (act < 0.16) node.fanout.mend();
    else if (act < 0.2) {
      node.line.isCut = true;
      this.tally.cuts += 1;
    } else if (act < 0.34) for (const each of this.living()) each.line.isCut = false;
    else if (act < 0.37) await this.kill(node);
    else if (act < 0.48 || !person.isOn) {
      this.tally.moves += 1;
      await person.goTo(node.server.port);
    } else if (act < 0.54) await this.intrude(intruder, node, step);
    else {
      this.tally.edits += 1;
      const { participant, role } = person.visitor;
      if (role === 'lead') person.edit(LEAD_DOCUMENT, (doc) => writePasses(doc, 1 + (step % 17)));
      else person.edit(saidBy(participant), (doc) => writeName(doc, `name ${this.seed} ${step}`));
    }
  }

  /** As a power cut: nothing of it reaches anybody any more, and another takes its place. */
  private async kill(node: Node): Promise<void> {
    this.tally.kills += 1;
    node.isDead = true;
    node.line.isCut = true;
    node.fanout.cut();
    for (const person of this.people) if (person.isAt(node.server.port)) person.drop();
    this.nodes.push(await this.newNode());
  }

  /** A joiner writes into what only leaders write, from a copy of their own. */
  private async intrude(intruder: Roamer, node: Node, step: number): Promise<void> {
    if (await intruder.goTo(node.server.port))
      intruder.edit(LEAD_DOCUMENT, (doc) => doc.getMap('choice').set('intruder', step));
  }

  private async heal(board: TestBoard, intruder: Roamer): Promise<void> {
    this.calm = true;
    for (const node of this.living()) {
      node.line.isCut = false;
      node.fanout.mend();
    }
    this.tally.refused += intruder.refusals.length;
    intruder.drop();
    for (const person of this.people) {
      const codes = person.refusals.map(({ code }) => code);
      this.tally.notKept += codes.filter((code) => code === 'not-kept').length;
      // Incomplete: they came back with changes and made another before they were asked; nothing is lost by it.
      const wrong = codes.filter((code) => code !== 'not-kept' && code !== 'incomplete');
      if (wrong.length > 0) throw this.failure(`somebody was told ${wrong}`);
    }
    for (const person of this.people) await this.bringBack(person);
    await eventually(() => {
      const disk = this.disk(board);
      return this.people.every((person) => sameFamilies(person.family, disk));
    }, `all see what is on disk (schedule ${this.seed})`);
    if (this.disk(board).lead.getMap('choice').has('intruder'))
      throw this.failure('what was refused is on disk');
    const times = this.living().map(({ server }) => server.host.now());
    if (Math.max(...times) - Math.min(...times) > 500) throw this.failure('times differ');
    for (const { fanout } of this.nodes)
      for (const kind of ['lost', 'doubled', 'late'] as const)
        this.tally[kind] += fanout.done[kind];
    for (const person of this.people) person.drop();
    for (const { server } of this.nodes) await server.stop();
  }

  /** A server may still close a room that it could not write: then they come again, as a page does. */
  private async bringBack(person: Roamer): Promise<void> {
    for (let tries = 0; tries < 50; tries += 1) {
      if (!person.isOn) await person.goTo(this.anyNode().server.port);
      await new Promise((turn) => setTimeout(turn, 2));
      if (person.isOn && (await person.settled())) return;
    }
    throw this.failure('somebody could not come back');
  }

  /** Nobody sees a change before it is on disk: also not in the middle of everything. */
  private nothingSeenIsOffDisk(board: TestBoard): void {
    const disk = this.disk(board);
    for (const person of this.people)
      for (const name of person.family.names()) {
        const kept = Y.decodeStateVector(Y.encodeStateVector(disk.open(name)));
        for (const [client, clock] of person.seen(name))
          if ((kept.get(client) ?? 0) < clock) throw this.failure(`${name} was seen, not kept`);
      }
  }

  private disk(board: TestBoard): DocumentFamily {
    const family = new DocumentFamily();
    for (const { document, update } of this.database.boards.get(board.id)?.rows ?? [])
      Y.applyUpdate(family.open(document), update);
    return family;
  }

  private failure(words: string): Error {
    return new Error(`schedule ${this.seed}: ${words}`);
  }

  private living(): readonly Node[] {
    return this.nodes.filter(({ isDead }) => !isDead);
  }

  private anyNode(): Node {
    const living = this.living();
    const node = living[this.pick(living.length)];
    if (!node) throw new RangeError('no node is left');
    return node;
  }

  private nodeAt(index: number): Node {
    const node = this.nodes[index];
    if (!node) throw new RangeError(`no node ${index}`);
    return node;
  }

  private pick(count: number): number {
    return Math.floor(this.random() * count);
  }
}
