import * as Y from 'yjs';
import type { BoardId, ParticipantId } from '../../lib/units';
import { DocumentFamily } from '../../shared/board/documents';
import { arrivalsIn, countPeople, personIn } from '../../shared/board/house';
import { isVotingOpen, proposalIdsIn, readBoard } from '../../shared/board/read';
import type { DocumentName } from '../../shared/board/roles';
import { higherRole, parseDocumentName } from '../../shared/board/roles';
import type { Board } from '../../shared/board/schema';
import { writeArrivals, writePerson } from '../../shared/board/write';
import { MAX_ARRIVALS, MAX_PEOPLE } from '../limits';
import type { LoggedUpdate } from '../store/store';
import type { Situation, Writer } from './admission';
import type { TrialFault } from './trial';
import { Trial } from './trial';

/** Longest id whose arrival is noted: a participant's id, a dot and a fingerprint. */
const MAX_ID = 29;

/** A board's documents in memory, with what has changed in them since it was last taken. */
export class LiveDocuments {
  private readonly family = new DocumentFamily();
  private readonly trials = new Map<DocumentName, Trial>();
  private readonly followed = new Set<DocumentName>();
  private changes: LoggedUpdate[] = [];

  /** What the log holds, and the arrivals that it lacks (which are changes to take). */
  constructor(entries: readonly LoggedUpdate[]) {
    for (const { document, update } of entries) Y.applyUpdate(this.family.open(document), update);
    for (const name of this.family.names()) this.follow(name);
    for (const author of this.family.said.keys()) this.noteArrivals(author);
  }

  get names(): readonly DocumentName[] {
    return this.family.names();
  }

  get situation(): Situation {
    const { house, lead } = this.family;
    return {
      isKnown: (participant) => personIn(house, participant) !== undefined,
      votingOpen: isVotingOpen(lead),
    };
  }

  read(board: BoardId): Board | undefined {
    return readBoard(board, this.family);
  }

  /**
   * All that is missing at somebody with this state vector; all there is without one. A document that is not there is empty.
   * @throws Error if the bytes are no state vector
   */
  stateOf(name: DocumentName, stateVector?: Uint8Array): Uint8Array {
    return Y.encodeStateAsUpdate(this.family.find(name) ?? new Y.Doc(), stateVector);
  }

  stateVectorOf(name: DocumentName): Uint8Array {
    return Y.encodeStateVector(this.family.find(name) ?? new Y.Doc());
  }

  /** What has changed since the last time, in order. */
  takeChanges(): readonly LoggedUpdate[] {
    const { changes } = this;
    this.changes = [];
    return changes;
  }

  /** Applies an update that its sender may write, whole, or says why not and changes nothing. */
  edit(name: DocumentName, update: Uint8Array, writer: Writer): TrialFault | undefined {
    const isNew = this.family.find(name) === undefined;
    const fault = this.trialOf(name).apply(update);
    if (fault) {
      if (isNew) this.forget(name);
      return fault;
    }
    const parsed = parseDocumentName(name);
    if (!parsed || !('owner' in parsed)) return undefined;
    this.remember(writer);
    if (parsed.kind === 'said') this.noteArrivals(parsed.owner);
    return undefined;
  }

  /** May this person belong to the board, or do too many already? */
  hasPlaceFor(participant: ParticipantId): boolean {
    const { house } = this.family;
    return personIn(house, participant) !== undefined || countPeople(house) < MAX_PEOPLE;
  }

  /** Writes a person into the house, or their higher role. Watchers write nothing and are not remembered. */
  remember({ participant, role }: Writer): void {
    const { house } = this.family;
    const known = personIn(house, participant);
    const next = known ? higherRole(known, role) : role;
    if (role !== 'watch' && known !== next) writePerson(house, participant, next);
  }

  /** Writes into the house which proposals of this author are new, in the order of their ids if several came at once. */
  private noteArrivals(author: ParticipantId): void {
    const said = this.family.said.get(author);
    if (!said) return;
    const { house } = this.family;
    const isOwn = (id: string) => id.startsWith(`${author}.`) && id.length <= MAX_ID;
    const noted = new Set(arrivalsIn(house).filter(isOwn));
    const fresh = proposalIdsIn(said).filter((id) => isOwn(id) && !noted.has(id));
    writeArrivals(house, fresh.slice(0, Math.max(0, MAX_ARRIVALS - noted.size)));
  }

  private trialOf(name: DocumentName): Trial {
    const there = this.trials.get(name);
    if (there) return there;
    const trial = new Trial(this.follow(name));
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
    doc.on('update', (update: Uint8Array) => {
      this.changes.push({ document: name, update });
    });
    return doc;
  }
}
