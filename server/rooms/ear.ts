import type { ParticipantId } from '../../lib/units';
import { ballotOf, LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import type { Ear } from '../fanout/shared-log';
import type { LoggedUpdate } from '../store/store';
import type { Company } from './company';
import { newsOf } from './company';
import type { LiveDocuments } from './documents';
import type { Following } from './following';
import { saysWhatIsPlayed } from './following';
import type { History } from './history';
import type { RoomLog } from './log';

/** What becomes of a room itself. */
export interface Acted {
  /** Leaders have written something elsewhere. */
  followOrders(): void;
  /** The board was deleted elsewhere. */
  endDeleted(): void;
  /** Ends this room, and nothing else, for a fault of ours. */
  giveUp(error: unknown): Promise<void>;
  /** Does something, and gives the room up where that brings a fault to light. */
  contain<T>(work: () => T): T | undefined;
}

/** The parts of a room that other servers have a say in. */
export interface SharedRoom {
  readonly documents: LiveDocuments;
  readonly log: RoomLog;
  readonly company: Company;
  readonly history: History;
  readonly following: Following;
  readonly room: Acted;
}

/** How a room takes what other servers do on its board. */
export function earOf({ documents, log, company, history, following, room }: SharedRoom): Ear {
  const isGone = (participant: ParticipantId) => documents.isGone(participant);
  const show = (entries: readonly LoggedUpdate[]) =>
    company.forward(newsOf(entries, undefined, documents.situation.ballotsHeld), isGone);
  const merge: Ear['merge'] = (entries) => {
    const { news, gone } = documents.hear(entries);
    log.noteWritten(news);
    for (const participant of gone) log.drop([saidBy(participant), ballotOf(participant)]);
    show(news);
    for (const participant of gone) company.sendAwayAll(participant);
    if (gone.length > 0) history.forget(gone.flatMap((id) => [saidBy(id), ballotOf(id)]));
    if (news.some(({ document }) => document === LEAD_DOCUMENT)) {
      room.followOrders();
      history.hear();
    }
    const { changes } = documents.takeChanges();
    if (changes.length > 0) {
      log.append(changes);
      log.whenKept(() => show(changes));
    }
    if (news.some(saysWhatIsPlayed)) following.tell();
  };
  return {
    merge: (entries) => {
      try {
        merge(entries);
      } catch (error) {
        // Nothing may be written on top of what was taken in part.
        void room.giveUp(error);
        throw error;
      }
    },
    boardIsGone: () => room.endDeleted(),
    takeWaiting: () => log.takeWaiting(),
    kept: (entries) => documents.noteKept(entries),
    isGone,
    hearPresence: (server, bytes) => room.contain(() => company.hearPresence(server, bytes)),
    presenceHere: () => room.contain(() => company.presenceHere()),
    tellLate: (isLate) => room.contain(() => company.tellLate('reading', isLate)),
    askPresence: () => room.contain(() => company.askPresence()),
    forgetServer: (server) => room.contain(() => company.forgetServer(server)),
  };
}
