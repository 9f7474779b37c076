import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, HOUSE_DOCUMENT, LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import type { Board } from '../../shared/board/schema';
import { parseUp, readFrame, syncFrame } from '../../shared/wire/frame';
import type { SyncKind } from '../../shared/wire/kind';
import { SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import { WIRE_VERSION } from '../../shared/wire/version';
import type { SharedLog } from '../fanout/shared-log';
import { COMPACT_AFTER, MAX_MESSAGE } from '../limits';
import type { LoggedUpdate } from '../store/store';
import { NoSuchBoard, StoreError } from '../store/store';
import { Acting } from './acting';
import type { Openness } from './admission';
import { admitReader, admitWriter, refuse } from './admission';
import { Company, newsOf } from './company';
import type { Connection, Party } from './connection';
import type { Changes } from './documents';
import { LiveDocuments } from './documents';
import type { Acted } from './ear';
import { earOf } from './ear';
import { Following, saysWhatIsPlayed } from './following';
import { History } from './history';
import { RoomLog } from './log';
import { People } from './people';
import { Shortening } from './shortening';
import { Spreading } from './spreading';
import { isNothing } from './update';
import type { RoomWorld } from './world';

/** A board while it is in memory: its documents and who is there. Its rules are numbered in RULES.md. */
export class Room implements Acted {
  private readonly company = new Company(
    (presence) => this.shared?.sayPresence(presence),
    (work) => this.contain(work),
  );
  private readonly log: RoomLog;
  private readonly history: History;
  private readonly acting: Acting;
  private readonly following: Following;
  private readonly spreading: Spreading;
  readonly people: People;
  private readonly shortening: Shortening;
  private isBroken = false;
  /** How open the board was when the leaders' orders were last followed. */
  private followed: Openness;

  private constructor(
    readonly board: BoardId,
    private readonly documents: LiveDocuments,
    private readonly world: RoomWorld,
    private readonly onBroken: () => void,
    private readonly shared: SharedLog | undefined,
  ) {
    const store = shared ?? world.store;
    const giveUp = (error: unknown) => void this.giveUp(error);
    const { report } = world;
    this.log = new RoomLog(
      board,
      store,
      world.metrics,
      (error) => this.breakOff(error),
      (isLate) => this.contain(() => this.company.tellLate('writing', isLate)),
      giveUp,
    );
    this.followed = documents.openness;
    this.history = new History(board, { ...world, onFault: giveUp }, documents);
    this.shortening = new Shortening(board, { documents, log: this.log, report });
    const { company, log, history } = this;
    this.spreading = new Spreading(world.now);
    this.following = new Following(board, { documents, company, log });
    const commit = () => this.commit();
    this.acting = new Acting(board, world, { documents, company, log, history, commit, giveUp });
    this.people = new People(documents, company, (work) => this.contain(work), commit);
  }

  /**
   * The room of a board as it is on disk; undefined if there is no such board.
   * @param onBroken called when the memory is ahead of the disk and never to be used again
   * @throws StoreError if the store cannot be read
   */
  static async load(
    board: BoardId,
    world: RoomWorld,
    onBroken: () => void,
  ): Promise<Room | undefined> {
    const shared = world.share?.(board);
    const entries = await (shared ?? world.store).load(board);
    if (!entries) return undefined;
    const room = new Room(board, new LiveDocuments(entries), world, onBroken, shared);
    room.log.noteWritten(entries);
    if (shared) room.shareWith(shared, entries);
    room.contain(() => room.commit(undefined));
    // A server that ended before it had shortened what leaders wrote left traces of them there.
    if (room.documents.anybodyGone && room.log.lengthOf(LEAD_DOCUMENT) > 1)
      room.shortening.soon(true);
    room.history.begin();
    return room;
  }

  /** The board as it is on disk, for one who looks; undefined for somebody who is gone from it. @throws StoreError if what it holds could not be kept */
  read(viewer: ParticipantId | undefined): Promise<Board | undefined> {
    const isGone = viewer !== undefined && this.documents.isGone(viewer);
    const board = isGone ? undefined : this.documents.read(this.board, viewer);
    return new Promise((done, failed) => this.log.whenKept(() => done(board), failed));
  }

  /** Learns what other servers have written up to now. @throws NoSuchBoard if the board was deleted @throws StoreError if the store cannot be read */
  async refresh(): Promise<void> {
    await this.shared?.refresh();
  }

  /** Hears other servers no more. */
  end(): void {
    this.company.end();
    this.shared?.end();
  }

  /** The board was deleted: everybody is told, and this room is never used again. */
  endDeleted(): void {
    if (this.isBroken) return;
    this.isBroken = true;
    void this.log.giveUp(new NoSuchBoard(`board ${this.board} was deleted`));
    this.onBroken();
    this.company.endDeleted();
  }

  /**
   * Takes a socket in: says who it is, sends what it cannot ask for by name, and asks for what it may have written offline; one that only
   * follows is told what is played instead.
   */
  join(connection: Connection): void {
    if (this.isBroken) {
      this.company.turnAway(connection);
      return;
    }
    if (this.documents.isGone(connection.participant)) {
      this.company.sendAway(connection);
      return;
    }
    // In the company first: whatever goes wrong from here on, its socket is told like all others.
    this.company.add(connection);
    this.contain(() => this.welcome(connection));
  }

  private welcome(connection: Connection): void {
    const { participant, role } = connection;
    connection.say({ kind: 'welcome', version: WIRE_VERSION, participant, role });
    this.company.tellIfLate(connection);
    if (connection.returns) this.documents.remember(connection);
    this.commit();
    if (connection.purpose === 'play') {
      this.following.tell(connection);
      return;
    }
    for (const name of this.documents.names)
      if (name !== LEAD_DOCUMENT && this.maySee(connection, name))
        this.answer(connection, name, undefined);
    for (const name of this.writableBy(connection)) this.ask(connection, name);
    this.company.tellPresence(connection);
  }

  leave(connection: Connection): void {
    this.contain(() => this.company.leave(connection));
  }

  /** Takes a message of a socket; undefined for one that was text. */
  receive(connection: Connection, message: Uint8Array | undefined): void {
    if (this.isBroken) return;
    const { metrics } = this.world;
    metrics.noteMessage();
    this.contain(() => {
      const refusal = this.take(connection, message, this.world.now());
      if (!refusal) return;
      metrics.noteRefusal(refusal.code);
      connection.say(refusal);
    });
  }

  /** Makes one snapshot of each document that has a log. Nothing is lost if it fails. */
  async compact(): Promise<void> {
    await this.shortening.now();
    await this.history.settled();
  }

  /** The board as it was at a kept point, for one who looks; undefined if it is not there. @throws StoreError if it cannot be read */
  readPoint(number: number, viewer: ParticipantId): Promise<Board | undefined> {
    return this.history.read(number, viewer);
  }

  /** Returns the board to a kept point; false if it is not there. @throws StoreError if that cannot be kept */
  async returnTo(number: number): Promise<boolean> {
    try {
      if (!(await this.history.returnTo(number))) return false;
      this.commit();
    } catch (error) {
      if (!(error instanceof StoreError)) await this.giveUp(error);
      throw error;
    }
    await new Promise<void>((done, failed) => this.log.whenKept(done, failed));
    return true;
  }

  private take(
    connection: Connection,
    message: Uint8Array | undefined,
    arrivedMs: Ms,
  ): Refusal | undefined {
    if (!message) return refuse('unreadable');
    if (message.length > MAX_MESSAGE) return refuse('too-large');
    const frame = readFrame(message);
    switch (frame.kind) {
      case 'sync':
        return this.takeSync(connection, frame.document, frame.step, frame.bytes);
      case 'awareness':
        return this.takePresence(connection, frame.bytes);
      case 'query-awareness':
        this.company.tellPresence(connection);
        return undefined;
      case 'word':
        return this.takeWord(connection, frame.text, arrivedMs);
      case 'unreadable':
        return refuse('unreadable');
    }
  }

  private takeSync(
    connection: Connection,
    document: string,
    step: SyncKind,
    bytes: Uint8Array,
  ): Refusal | undefined {
    if (step === SYNC.step1) {
      const name = admitReader(connection, document, this.documents.situation);
      return typeof name === 'string' ? this.answer(connection, name, bytes) : name;
    }
    if (isNothing(bytes)) return undefined;
    const name = admitWriter(connection, document, this.documents.situation);
    if (typeof name !== 'string') return name;
    let made: Changes | undefined;
    const fault = this.documents.edit(name, bytes, connection, (changes) => {
      this.log.append(changes.changes, changes.gone);
      made = changes;
    });
    // What it builds on is still at the other end, written while the line was down: with it, the change comes again.
    if (fault === 'incomplete')
      connection.send(syncFrame(name, SYNC.step1, this.documents.stateVectorOf(name)));
    if (fault) {
      // Trying it may have cost a copy of the document.
      connection.countAnswer(this.documents.stateOf(name));
      return refuse(fault, name);
    }
    this.world.metrics.noteUpdate();
    if (made) {
      this.spread(made, connection);
      const sends = made.changes.length * this.company.size;
      if (!this.spreading.charge(connection.participant, sends)) connection.closeBusy();
    }
    if (name === LEAD_DOCUMENT && this.documents.clearLead()) {
      this.commit();
      this.log.whenKept(() => this.shortening.soon(true));
    }
    return undefined;
  }

  private takePresence(connection: Connection, bytes: Uint8Array): Refusal | undefined {
    const fault = this.company.takePresence(connection, bytes);
    return fault && refuse(fault);
  }

  private takeWord(connection: Connection, text: string, t2: Ms): Refusal | undefined {
    const word = parseUp(text);
    if (!word) return refuse('unreadable');
    if (word.kind === 'ask-time') {
      connection.say({ kind: 'time', t1: word.t1, t2, t3: this.world.now() });
      return undefined;
    }
    return this.acting.take(connection, word);
  }

  private maySee(party: Party, name: DocumentName): boolean {
    return typeof admitReader(party, name, this.documents.situation) === 'string';
  }

  /** Asks for what somebody may have of a document that is not here. */
  private ask(connection: Connection, name: DocumentName): void {
    const question = syncFrame(name, SYNC.step1, this.documents.stateVectorOf(name));
    this.log.whenKept(() => connection.send(question));
  }

  private writableBy(party: Party): readonly DocumentName[] {
    const { situation } = this.documents;
    return [LEAD_DOCUMENT, saidBy(party.participant), ballotOf(party.participant)].filter(
      (name) => typeof admitWriter(party, name, situation) === 'string',
    );
  }

  /** Answers a state vector with what is missing there, once that is kept; undefined asks for all. */
  private answer(
    connection: Connection,
    name: DocumentName,
    stateVector: Uint8Array | undefined,
  ): Refusal | undefined {
    let state: Uint8Array;
    try {
      state = this.documents.stateOf(name, stateVector);
    } catch (error) {
      // lib0 throws plain errors on bytes that are no state vector.
      if (stateVector && error instanceof Error) return refuse('unreadable', name);
      throw error;
    }
    const frame = syncFrame(name, SYNC.step2, state);
    // What the server sends by itself is nobody's spending.
    if (stateVector) connection.countAnswer(frame);
    this.log.whenKept(() => connection.send(frame));
    return undefined;
  }

  /** Hands what has changed to the log, and to everybody else once it is kept. */
  private commit(origin?: Connection): void {
    const made = this.documents.takeChanges();
    this.log.append(made.changes, made.gone);
    this.spread(made, origin);
  }

  /** Sends what the log has got to everybody else once it is kept; what the house wrote to all. */
  private spread({ changes, gone }: Changes, origin: Connection | undefined): void {
    if (changes.length + gone.length === 0) return;
    const news = newsOf(changes, origin, this.documents.situation.ballotsHeld);
    this.log.whenKept(() => {
      this.company.forward(news, (participant) => this.documents.isGone(participant));
      // After somebody was taken out, what leaders wrote about them leaves the log too.
      const isLong = changes.some(({ document }) => this.log.lengthOf(document) > COMPACT_AFTER);
      if (isLong || gone.length > 0) this.shortening.soon(gone.length > 0);
      // Who comes and goes is no change worth keeping.
      if (changes.some(({ document }) => document !== HOUSE_DOCUMENT)) this.history.follow();
    });
    if (changes.some(saysWhatIsPlayed)) this.following.tell();
    if (!changes.some(({ document }) => document === LEAD_DOCUMENT)) return;
    this.history.note();
    this.followOrders();
  }

  private shareWith(shared: SharedLog, entries: readonly LoggedUpdate[]): void {
    const { documents, log, company, history, following } = this;
    documents.share(entries);
    shared.begin(earOf({ documents, log, company, history, following, room: this }));
  }

  /** When leaders open what was closed: sends ballots that were held back, and asks everybody for what waits at them. */
  followOrders(): void {
    const { openness } = this.documents;
    const before = this.followed;
    this.followed = openness;
    if (before.ballotsHeld && !openness.ballotsHeld)
      for (const connection of this.company.for('board'))
        for (const name of this.documents.ballotsOfOthers) this.answer(connection, name, undefined);
    const opens =
      (before.frozen && !openness.frozen) || (!before.votingOpen && openness.votingOpen);
    if (!opens) return;
    for (const connection of this.company.for('board'))
      for (const name of this.writableBy(connection))
        if (name !== LEAD_DOCUMENT) this.ask(connection, name);
  }

  private breakOff(error: unknown): void {
    this.world.report(`Changes of board ${this.board} could not be kept.`, error);
    this.endAll();
  }

  /** Does something that may bring a fault of ours to light; such a fault ends this room and nothing else. */
  contain<T>(work: () => T): T | undefined {
    try {
      return work();
    } catch (error) {
      void this.giveUp(error);
      return undefined;
    }
  }

  /** A fault of ours came to light: memory may be wrong, so the next ones to come are given what is on disk. */
  async giveUp(error: unknown): Promise<void> {
    this.isBroken = true;
    this.world.report(`Something went wrong on board ${this.board}; it is loaded again.`, error);
    await this.log.giveUp(new StoreError('its room was given up', { cause: error }));
    this.endAll();
  }

  private endAll(): void {
    this.isBroken = true;
    this.onBroken();
    this.company.endAll();
  }
}
