import { expect, test } from 'vitest';
import * as Y from 'yjs';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';
import {
  writeFrozen,
  writeHidden,
  writeSecretBallots,
  writeShut,
  writeVotingClosed,
} from '../../shared/board/leading';
import { readBoard } from '../../shared/board/read';
import { ballotOf } from '../../shared/board/roles';
import { writeSame } from '../../shared/board/same';
import type { BallotId } from '../../shared/board/schema';
import { tallyOf } from '../../shared/board/tally';
import { writeApproval, writeVotingOpen } from '../../shared/board/write';
import { syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import { seeded } from '../kit/link';
import { act, propose } from '../kit/orders';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import type { TestBoard, TestServer, Visitor } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';
import { VotingModel } from '../kit/voting-model';

/** Walks of the normal run; PASSROUND_WALKS asks for more. */
const WALKS = Number(process.env.PASSROUND_WALKS ?? 110);
const STEPS = 20;
/** Two measures, so that people meet. */
const TUNE = 'X:1\nT:Two measures\nM:4/4\nL:1/8\nK:G\nGABc d2d2 | B2G2 G4 |]\n';
const [M1, M2] = ['m1' as MeasureId, 'm2' as MeasureId];
const PLAIN: readonly BallotId[] = [`plain:${M1}`, `plain:${M2}`];

/** A server that is stopped and started again, and all that walks did: one in which nothing happens shows nothing. */
class House {
  readonly config = testConfig(testFolder());
  readonly done = new Map<string, number>();
  server!: TestServer;

  async start(): Promise<void> {
    this.server = await startTestServer({ config: this.config, lingerMs: 60_000 });
  }

  note(what: string): void {
    this.done.set(what, (this.done.get(what) ?? 0) + 1);
  }
}

interface Somebody {
  readonly me: Visitor;
  peer: Peer;
  /** Their own ballot as they have it, where a frozen board has not taken it yet. */
  waits: boolean;
}

const setOf = (doc: Y.Doc) => new Set(doc.getMap('approvals').keys()) as ReadonlySet<BallotId>;

/** A random walk of two leaders and three students through a vote, beside a model of it. */
class Walk {
  private readonly random: () => number;
  private readonly steps: string[] = [];
  private readonly people: Somebody[] = [];
  private model!: VotingModel;
  private board!: TestBoard;

  constructor(
    readonly seed: number,
    private readonly house: House,
  ) {
    this.random = seeded(seed);
  }

  async run(): Promise<void> {
    try {
      await this.begin();
      for (let step = 0; step < STEPS; step += 1) {
        await this.step();
        await this.compare();
      }
      for (const { me, peer } of this.people)
        if (!this.model.gone.has(me.participant)) await peer.leave();
    } catch (error) {
      throw new Error(`walk ${this.seed}: ${this.steps.join(', ')}`, { cause: error });
    }
  }

  private async begin(): Promise<void> {
    const { server } = this.house;
    this.board = await server.create({ tune: { abc: TUNE } });
    for (const role of ['lead', 'lead', 'join', 'join', 'join'] as const) {
      const me = await server.visit(this.board, role);
      this.people.push({ me, peer: await Peer.joined(server, this.board, me), waits: false });
    }
    this.model = new VotingModel(this.people.map(({ me }) => me.participant));
    for (const one of this.students) await this.putForward(one, 1 + this.pick(3));
  }

  private get students(): readonly Somebody[] {
    return this.people.slice(2).filter(({ me }) => !this.model.gone.has(me.participant));
  }

  private get here(): readonly Somebody[] {
    return this.people.filter(({ me }) => !this.model.gone.has(me.participant));
  }

  private pick(count: number): number {
    return Math.floor(this.random() * count);
  }

  private oneOf<T>(all: readonly T[]): T {
    const one = all[this.pick(all.length)];
    if (one === undefined) throw new RangeError('nothing to pick from');
    return one;
  }

  private async step(): Promise<void> {
    // Most of the time there is something to vote for.
    if (this.model.voting !== 'open' && this.random() < 0.25) return this.changeVoting();
    if (this.model.frozen && this.random() < 0.25)
      return this.order('frozen', () => this.setFrozen());
    const at = this.random();
    if (at < 0.42) return this.vote(this.oneOf(this.here));
    if (at < 0.52) return this.changeVoting();
    if (at < 0.6) return this.order('secret', () => this.setSecret());
    if (at < 0.68) return this.order('frozen', () => this.setFrozen());
    if (at < 0.76) return this.order('hidden', () => this.setHidden());
    if (at < 0.82) return this.order('shut', () => this.setShut());
    if (at < 0.88) return this.order('same', () => this.setSame());
    if (at < 0.92) return this.putForward(this.oneOf(this.here), 1 + this.pick(5));
    if (at < 0.95) return this.returnTo();
    if (at < 0.97 && this.students.length > 1) return this.remove(this.oneOf(this.students));
    return this.restart();
  }

  private note(what: string, more = ''): void {
    this.steps.push(`${what}${more}`);
    this.house.note(what);
  }

  /** Casts a vote, changes one or takes it back; whether it counts is the model's question. */
  private async vote(one: Somebody): Promise<void> {
    const { model } = this;
    const { participant } = one.me;
    const name = ballotOf(participant);
    const id = this.oneOf<BallotId>([...PLAIN, ...model.variants.map((variant) => variant.id)]);
    const before = one.peer.refusals.length;
    one.peer.edit(name, (doc) => writeApproval(doc, id, !setOf(doc).has(id)));
    await one.peer.settled();
    const refused = one.peer.refusals.slice(before).map(({ code }) => code);
    if (model.voting !== 'open') {
      this.note('too late');
      // Taking back what is not there sends nothing.
      expect(refused).toEqual(['voting-closed']);
      one.peer.family.forget(name);
      one.waits = false;
      await one.peer.fetch(name);
    } else if (model.frozen) {
      this.note('vote while frozen');
      expect(refused).toEqual(['frozen']);
      one.waits = true;
    } else {
      this.note('vote');
      expect(refused).toEqual([]);
      model.vote(participant, setOf(one.peer.family.open(name)));
    }
  }

  /** What waited at people is asked for when the board takes it again. */
  private async flush(): Promise<void> {
    if (this.model.voting !== 'open' || this.model.frozen) return;
    for (const one of this.here.filter(({ waits }) => waits)) {
      const name = ballotOf(one.me.participant);
      const doc = one.peer.family.open(name);
      await one.peer.settled();
      const asked = one.peer.frames.findLast(
        (frame) => frame.kind === 'sync' && frame.document === name && frame.step === SYNC.step1,
      );
      expect(asked).toBeDefined();
      one.peer.send(syncFrame(name, SYNC.step2, Y.encodeStateAsUpdate(doc)));
      await one.peer.settled();
      this.model.vote(one.me.participant, setOf(doc));
      one.waits = false;
      this.house.note('asked for');
    }
  }

  private async lead(change: (lead: Y.Doc, house: Y.Doc) => void): Promise<void> {
    const { peer } = this.oneOf(this.people.slice(0, 2));
    await peer.settled();
    peer.edit('lead', (doc) => change(doc, peer.family.house));
    await peer.settled();
  }

  private async order(what: string, set: () => Promise<string>): Promise<void> {
    this.note(what, ` ${await set()}`);
    await this.flush();
  }

  private async setSecret(): Promise<string> {
    this.model.secret = !this.model.secret;
    await this.lead((doc) => writeSecretBallots(doc, this.model.secret));
    return String(this.model.secret);
  }

  private async setFrozen(): Promise<string> {
    this.model.frozen = !this.model.frozen;
    await this.lead((doc) => writeFrozen(doc, this.model.frozen));
    return String(this.model.frozen);
  }

  private async setHidden(): Promise<string> {
    const { hidden, variants } = this.model;
    if (variants.length === 0) return 'nothing';
    const { id } = this.oneOf(variants);
    const hides = !hidden.has(id);
    if (hides) hidden.add(id);
    else hidden.delete(id);
    await this.lead((doc) => writeHidden(doc, id, hides));
    return `${id} ${hides}`;
  }

  private async setShut(): Promise<string> {
    const { shut, nextArrival } = this.model;
    const shuts = !shut.has(M1);
    if (shuts) shut.set(M1, nextArrival);
    else shut.delete(M1);
    await this.lead((doc, house) => writeShut(doc, house, M1, shuts));
    return String(shuts);
  }

  private async setSame(): Promise<string> {
    const [from, to] = [this.oneOf(this.here), this.oneOf(this.here)].map(
      ({ me }) => me.participant,
    ) as [ParticipantId, ParticipantId];
    const apart = from === to || this.random() < 0.3;
    if (apart) this.model.same.delete(from);
    else this.model.same.set(from, to);
    await this.lead((doc) => writeSame(doc, from, apart ? undefined : to));
    return `${from} ${apart ? 'apart' : to}`;
  }

  /** Closes voting with passes or without, or opens it again; a moment at which it closes is kept. */
  private async changeVoting(): Promise<void> {
    const { model } = this;
    const before = model.voting;
    const after = this.oneOf(
      before === 'open' ? (['closed', 'agreed'] as const) : (['open', 'open', 'agreed'] as const),
    );
    const isKept = after !== 'open' && before !== after;
    const last = isKept ? ((await this.points()).at(-1)?.number ?? 0) : 0;
    model.voting = after;
    await this.lead((doc) => {
      if (after === 'open') writeVotingOpen(doc);
      else if (after === 'closed') writeVotingClosed(doc);
      else doc.getMap('choice').set('voting', 'agreed');
    });
    this.note(after);
    if (isKept) {
      const found = async () =>
        (await this.points()).find(({ number, why }) => number > last && why === after);
      await eventually(async () => (await found()) !== undefined, 'the moment is kept');
      model.points.set((await found())?.number ?? 0, model.decided);
    }
    await this.flush();
  }

  private async points() {
    const listed = await this.house.server.host.listPast(this.board.id, this.cookie);
    return listed.ok ? listed.value.toSorted((a, b) => a.number - b.number) : [];
  }

  private get cookie(): string {
    return this.people[0]?.me.cookie ?? '';
  }

  private async putForward(one: Somebody, strokes: number): Promise<void> {
    const { model } = this;
    if (model.frozen) return;
    const arrived = model.nextArrival;
    const id = (await propose({ ...one, client: 0 }, strokes)) as VariantId;
    this.note('put forward', ` ${id}`);
    if (model.variants.some((variant) => variant.id === id)) return;
    model.variants.push({ id, author: one.me.participant, measure: M1, arrived });
  }

  private async returnTo(): Promise<void> {
    const { model } = this;
    if (model.points.size === 0) return;
    const [number, then] = this.oneOf([...model.points]);
    const { host } = this.house.server;
    expect(await host.returnToPast(this.board.id, number, this.cookie)).toMatchObject({ ok: true });
    model.returnTo(then);
    // There is no plan in these walks, so nothing was agreed that could be played.
    if (model.voting === 'agreed') model.voting = 'closed';
    this.note('return', ` ${number}`);
  }

  private async remove({ me, peer }: Somebody): Promise<void> {
    const [leader] = this.people;
    if (!leader) throw new RangeError('nobody leads');
    act(leader, { kind: 'remove-person', participant: me.participant });
    await peer.until(() => peer.closed !== undefined);
    await leader.peer.settled();
    this.model.remove(me.participant);
    this.note('remove', ` ${me.participant}`);
  }

  private async restart(): Promise<void> {
    await this.house.server.stop();
    await this.house.start();
    for (const one of this.here) {
      one.peer = await Peer.joined(this.house.server, this.board, one.me);
      one.waits = false;
      this.model.comeAnew(one.me.participant);
    }
    this.note('restart');
  }

  /** Every browser's replica and every page against the model. */
  private async compare(): Promise<void> {
    const { model } = this;
    model.spread();
    const { host } = this.house.server;
    for (const { me, peer, waits } of this.here) {
      await peer.settled();
      const viewer = me.participant;
      for (const owner of model.here) {
        if (owner === viewer && waits) continue;
        const doc = peer.family.find(ballotOf(owner));
        expect(doc ? setOf(doc) : new Set(), `${owner} at ${viewer}`).toEqual(
          model.holds(viewer, owner) ?? new Set(),
        );
      }
      const expected = model.approvals(viewer);
      if (!waits) {
        const seen = readBoard(this.board.id, peer.family, viewer);
        expect(seen?.approvals, `seen by ${viewer}`).toEqual(expected);
        expect(seen?.voting).toBe(model.voting);
      }
      const page = await host.readBoard(this.board.id, viewer);
      expect(page?.approvals, `page of ${viewer}`).toEqual(expected);
      const counts = new Map<string, number>();
      for (const ids of Object.values(expected))
        for (const id of ids) counts.set(id, (counts.get(id) ?? 0) + 1);
      expect(page && tallyOf(page)).toEqual(counts);
    }
    expect((await host.readBoard(this.board.id))?.approvals).toEqual(
      model.ballotsAreHeld ? {} : model.approvals(model.people[0] as ParticipantId),
    );
  }
}

test('[R18] [R19] [R2] [R17] [R23] whatever leaders order and people vote, in whatever order, everybody sees the ballots they may see and the counts are right', async () => {
  const house = new House();
  await house.start();
  for (let seed = 1; seed <= WALKS; seed += 1) await new Walk(seed, house).run();
  const kinds = [
    'vote',
    'too late',
    'vote while frozen',
    'asked for',
    'secret',
    'frozen',
    'hidden',
  ];
  const more = ['shut', 'same', 'put forward', 'return', 'remove', 'restart', 'open', 'agreed'];
  for (const kind of [...kinds, ...more])
    expect(house.done.get(kind) ?? 0, kind).toBeGreaterThan(20);
}, 120_000);
