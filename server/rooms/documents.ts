import * as Y from 'yjs';
import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import { DocumentFamily } from '../../shared/board/documents';
import {
  arrivalsIn,
  countPeople,
  hasArrived,
  joinersIn,
  personIn,
  settleArrivals,
} from '../../shared/board/house';
import { keptOf, returnLead, unfolded, writeReturned } from '../../shared/board/kept';
import { areBallotsHeld, isFrozen } from '../../shared/board/leading';
import { isVotingOpen, proposalIdsIn, readBoard } from '../../shared/board/read';
import {
  forgetGone,
  forgetInLead,
  forgetPerson,
  goneFrom,
  isGone,
  isSentAway,
  writeGone,
  writeLetBack,
  writeRenewed,
} from '../../shared/board/removal';
import type { DocumentName, Role } from '../../shared/board/roles';
import {
  ballotOf,
  HOUSE_DOCUMENT,
  higherRole,
  LEAD_DOCUMENT,
  parseDocumentName,
  saidBy,
} from '../../shared/board/roles';
import type { Board } from '../../shared/board/schema';
import { writeArrivals, writePerson } from '../../shared/board/write';
import { LEADER_PLACES, MAX_ARRIVALS, MAX_BOARD, MAX_KEYS, MAX_PEOPLE } from '../limits';
import type { LoggedUpdate } from '../store/store';
import type { Openness, Situation, Writer } from './admission';
import type { TrialFault } from './trial';
import { Trial } from './trial';
import { decoded } from './update';

/** Longest id whose arrival is noted: a participant's id, a dot and a fingerprint. */
const MAX_ID = 29;

export interface Changes {
  readonly changes: readonly LoggedUpdate[];
  /** Documents that are gone, before any of the changes. */
  readonly gone: readonly DocumentName[];
}

/** What other servers have written, as far as it was new. */
export interface Heard {
  readonly news: readonly LoggedUpdate[];
  /** Who was taken out of the board. */
  readonly gone: readonly ParticipantId[];
}

/** Origin of changes that another server has written. */
const OTHERS = Symbol('other servers');
/** Origin of changes that were tried, and noted with that. */
const TRIED = Symbol('tried');

function situationOf({ house, lead }: DocumentFamily): Situation {
  return {
    isKnown: (participant) => personIn(house, participant) !== undefined,
    get votingOpen() {
      return isVotingOpen(lead);
    },
    get frozen() {
      return isFrozen(lead);
    },
    get ballotsHeld() {
      return areBallotsHeld(lead);
    },
  };
}

/** A board's documents in memory, with what has changed in them since it was last taken. */
export class LiveDocuments {
  private readonly family = new DocumentFamily();
  /** How it is whenever it is asked: most edits depend on little of it. */
  readonly situation = situationOf(this.family);
  private readonly trials = new Map<DocumentName, Trial>();
  private readonly followed = new Set<DocumentName>();
  private changes: LoggedUpdate[] = [];
  /** No less than the sum of all documents' states, bytes. */
  private size = 0;
  /** Whole states, until the document changes. */
  private readonly states = new WeakMap<Y.Doc, Uint8Array>();
  private gone: DocumentName[] = [];
  private heardNews = false;
  /** The house as it is on disk, where other servers write it too. */
  private keptHouse: Y.Doc | undefined;

  /** What the log holds, and the arrivals that it lacks (which are changes to take). */
  constructor(entries: readonly LoggedUpdate[]) {
    for (const { update } of entries) this.size += update.length;
    for (const { document, update } of entries) Y.applyUpdate(this.family.open(document), update);
    for (const name of this.family.names()) this.follow(name);
    for (const [author, said] of this.family.said) this.noteArrivals(author, said);
    this.clearLead();
  }

  get names(): readonly DocumentName[] {
    return this.family.names();
  }

  /** How open leaders have the board at this moment. */
  get openness(): Openness {
    const { votingOpen, frozen, ballotsHeld } = this.situation;
    return { votingOpen, frozen, ballotsHeld };
  }

  /** @param viewer who looks; undefined for one of whom nothing is known but that they may */
  read(board: BoardId, viewer: ParticipantId | undefined): Board | undefined {
    return readBoard(board, this.family, viewer);
  }

  /** Names of the ballots that others may see now but not while ballots were held back. */
  get ballotsOfOthers(): readonly DocumentName[] {
    return [...this.family.ballots.keys()].map(ballotOf);
  }

  get anybodyGone(): boolean {
    return goneFrom(this.family.house).length > 0;
  }

  isGone(participant: ParticipantId): boolean {
    return isGone(this.family.house, participant);
  }

  isSentAway(participant: ParticipantId): boolean {
    return isSentAway(this.family.house, participant);
  }

  isKnown(participant: ParticipantId): boolean {
    return this.roleOf(participant) !== undefined;
  }

  /** The role that the house knows somebody in; undefined for somebody unknown. */
  roleOf(participant: ParticipantId): Role | undefined {
    return personIn(this.family.house, participant);
  }

  /** From now on other servers write the board, too. What is here now is on disk, but for changes that were not taken. */
  share(entries: readonly LoggedUpdate[]): void {
    this.keptHouse = new Y.Doc();
    this.noteKept(entries);
  }

  /** Takes note that these are on disk. */
  noteKept(entries: readonly LoggedUpdate[]): void {
    for (const { document, update } of entries)
      if (document === HOUSE_DOCUMENT && this.keptHouse) Y.applyUpdate(this.keptHouse, update);
  }

  /**
   * Applies what other servers have written, in the order in which it is on disk, and mends the house where both have written it (which
   * are changes to take).
   */
  hear(entries: readonly LoggedUpdate[]): Heard {
    const { house } = this.family;
    const before = new Set(goneFrom(house));
    const news = entries.filter(({ document, update }) => this.takeIn(document, update));
    this.noteKept(entries);
    const gone = goneFrom(house).filter((id) => !before.has(id));
    for (const id of gone) {
      for (const name of [saidBy(id), ballotOf(id)]) {
        this.family.find(name)?.destroy();
        this.forget(name);
      }
      forgetGone(house, id);
    }
    const isLeadNew = news.some(({ document }) => document === LEAD_DOCUMENT);
    if (gone.length > 0 || isLeadNew) this.clearLead();
    const isHouseNew = news.some(({ document }) => document === HOUSE_DOCUMENT);
    if (this.keptHouse && isHouseNew) settleArrivals(house, this.keptHouse);
    return { news, gone };
  }

  /** Applies an update of another server; false if it brought nothing. */
  private takeIn(document: DocumentName, update: Uint8Array): boolean {
    const parsed = parseDocumentName(document);
    if (parsed && 'owner' in parsed && this.isGone(parsed.owner)) return false;
    this.heardNews = false;
    this.size += update.length;
    const doc = this.follow(document);
    const trial = this.trials.get(document);
    if (trial) trial.accept(update, OTHERS);
    else Y.applyUpdate(doc, update, OTHERS);
    return this.heardNews;
  }

  /** Takes somebody out: their documents, who they were, and their traces in what leaders wrote. */
  takeOut(participant: ParticipantId, atMs: Ms, back: boolean): void {
    const names = [saidBy(participant), ballotOf(participant)];
    for (const name of names) {
      this.family.find(name)?.destroy();
      this.forget(name);
    }
    this.changes = this.changes.filter(({ document }) => !names.includes(document));
    this.gone.push(...names);
    writeGone(this.family.house, participant, atMs, back);
    this.clearLead();
  }

  /**
   * Takes out of what leaders wrote the traces of all who are gone, also those that a leader's browser brings who was away meanwhile.
   * @returns whether there were any
   */
  clearLead(): boolean {
    return this.forgetInLead(new Set(goneFrom(this.family.house)));
  }

  private forgetInLead(gone: ReadonlySet<ParticipantId>): boolean {
    const before = this.changes.length;
    forgetInLead(this.family.lead, gone);
    if (this.changes.length === before) return false;
    this.trials.delete(LEAD_DOCUMENT);
    return true;
  }

  /** Lets a browser that was sent away come back as somebody new; false if nobody of that name was sent away. */
  letBack(participant: ParticipantId): boolean {
    return writeLetBack(this.family.house, participant);
  }

  /** Forgets somebody of whom nothing is left but that they came; false where there is more. */
  forgetIfSilent(participant: ParticipantId): boolean {
    const { said, ballots, house } = this.family;
    if (said.has(participant) || ballots.has(participant)) return false;
    forgetPerson(house, participant);
    // A leader may have named them.
    this.forgetInLead(new Set([participant]));
    return true;
  }

  /** The board as it is, to be kept: one entry a document. */
  kept(): readonly LoggedUpdate[] {
    const kept = keptOf(this.family);
    return kept
      .names()
      .map((document) => ({ document, update: Y.encodeStateAsUpdate(kept.open(document)) }));
  }

  get lead(): Y.Doc {
    return this.family.lead;
  }

  /** The documents of a kept point, without people who are gone since. */
  pointOf(entries: readonly LoggedUpdate[]): DocumentFamily {
    const kept = new DocumentFamily();
    for (const { document, update } of entries) Y.applyUpdate(kept.open(document), update);
    return unfolded(kept, new Set(goneFrom(this.family.house)));
  }

  /** Returns what leaders have decided to how it was at a kept point. */
  returnTo(entries: readonly LoggedUpdate[], toMs: Ms, atMs: Ms): void {
    returnLead(this.family.lead, this.pointOf(entries).lead);
    writeReturned(this.family.house, atMs, toMs);
    this.trials.delete(LEAD_DOCUMENT);
  }

  noteRenewed(role: Role, atMs: Ms): void {
    writeRenewed(this.family.house, role, atMs);
  }

  /**
   * All that is missing at somebody with this state vector; all there is without one. A document that is not there is empty.
   * @throws Error if the bytes are no state vector
   */
  stateOf(name: DocumentName, stateVector?: Uint8Array): Uint8Array {
    const doc = this.family.find(name) ?? new Y.Doc();
    if (stateVector) return Y.encodeStateAsUpdate(doc, stateVector);
    // A hundred people open a board at once: each document is written out once for all of them.
    const state = this.states.get(doc) ?? Y.encodeStateAsUpdate(doc);
    this.states.set(doc, state);
    return state;
  }

  stateVectorOf(name: DocumentName): Uint8Array {
    return Y.encodeStateVector(this.family.find(name) ?? new Y.Doc());
  }

  /** What has changed since the last time, in order, and which documents are gone altogether. */
  takeChanges(): Changes {
    const { changes, gone } = this;
    this.changes = [];
    this.gone = [];
    return { changes, gone };
  }

  /**
   * Applies an update that its sender may write, whole, or says why not and changes nothing.
   * @param keep gets all that has changed, as soon as it is certain and before the documents have it: the disk works while they take it
   */
  edit(
    name: DocumentName,
    update: Uint8Array,
    writer: Writer,
    keep: (changes: Changes) => void,
  ): TrialFault | undefined {
    // Leaders' orders (freeze, close the vote, stop) count, and go through all the same: their document has a limit of its own.
    if (this.isFullFor(update) && name !== LEAD_DOCUMENT) return 'too-large';
    // Who came by a link alone takes a place with the first thing that they say.
    if (name !== LEAD_DOCUMENT && !this.hasPlaceFor(writer)) return 'too-large';
    const isNew = this.family.find(name) === undefined;
    const trial = this.trialOf(name);
    const tried = trial.attempt(update);
    if (typeof tried === 'string') {
      if (isNew) this.forget(name);
      return tried;
    }
    for (const made of tried.made) this.changes.push({ document: name, update: made });
    const parsed = parseDocumentName(name);
    if (parsed && 'owner' in parsed) {
      this.remember(writer);
      if (parsed.kind === 'said') this.noteArrivals(parsed.owner, tried.copy);
    }
    keep(this.takeChanges());
    trial.take(update, TRIED);
    return undefined;
  }

  /** Is the board too full for an update that adds to it? Measures the documents only when it may be; those that did not change cost nothing. */
  private isFullFor(update: Uint8Array): boolean {
    this.size += update.length;
    if (this.size <= MAX_BOARD) return false;
    this.size = this.family.names().reduce((sum, name) => sum + this.stateOf(name).length, 0);
    const adds = (decoded(update)?.structs.length ?? 0) > 0;
    if (adds && this.size + update.length > MAX_BOARD) return true;
    this.size += update.length;
    return false;
  }

  /** May this person belong to the board, or do too many already? The last places are for leaders. */
  hasPlaceFor({ participant, role }: Writer): boolean {
    const most = role === 'lead' ? MAX_PEOPLE : MAX_PEOPLE - LEADER_PLACES;
    return this.isKnown(participant) || countPeople(this.family.house) < most;
  }

  /** Students of whom nothing is on the board but that they came. */
  get silent(): readonly ParticipantId[] {
    const { said, ballots, house } = this.family;
    return joinersIn(house).filter((id) => !said.has(id) && !ballots.has(id));
  }

  /** Writes a person into the house, or their higher role. Watchers write nothing and are not remembered. */
  remember({ participant, role }: Writer): void {
    const { house } = this.family;
    const known = personIn(house, participant);
    const next = known ? higherRole(known, role) : role;
    if (role !== 'watch' && known !== next) writePerson(house, participant, next);
  }

  /** Writes into the house which proposals of this author are new, in the order of their ids if several came at once. */
  private noteArrivals(author: ParticipantId, said: Y.Doc): void {
    const { house } = this.family;
    const isOwn = (id: string) => id.startsWith(`${author}.`) && id.length <= MAX_ID;
    const fresh = proposalIdsIn(said).filter((id) => isOwn(id) && !hasArrived(house, id));
    if (fresh.length === 0) return;
    const noted = arrivalsIn(house).filter(isOwn).length;
    writeArrivals(house, fresh.slice(0, Math.max(0, MAX_ARRIVALS - noted)));
  }

  private trialOf(name: DocumentName): Trial {
    const there = this.trials.get(name);
    if (there) return there;
    const trial = new Trial(this.follow(name), name === LEAD_DOCUMENT ? undefined : MAX_KEYS);
    this.trials.set(name, trial);
    return trial;
  }

  private forget(name: DocumentName): void {
    this.family.forget(name);
    this.trials.delete(name);
    this.followed.delete(name);
  }

  /** The document, with its changes collected from now on. */
  private follow(name: DocumentName): Y.Doc {
    const doc = this.family.open(name);
    if (this.followed.has(name)) return doc;
    this.followed.add(name);
    doc.on('update', (update: Uint8Array, origin: unknown) => {
      this.states.delete(doc);
      if (origin === OTHERS) this.heardNews = true;
      else if (origin !== TRIED) this.changes.push({ document: name, update });
    });
    return doc;
  }
}
