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

/** The parts of a room that other servers have a say in. */
export interface SharedRoom {
  readonly documents: LiveDocuments;
  readonly log: RoomLog;
  readonly company: Company;
  readonly history: History;
  readonly following: Following;
  /** Leaders have written something elsewhere. */
  readonly followOrders: () => void;
}

/** How a room takes what other servers do on its board. */
export function earOf(room: SharedRoom): Ear {
  const { documents, log, company, history } = room;
  const isGone = (participant: ParticipantId) => documents.isGone(participant);
  const show = (entries: readonly LoggedUpdate[]) =>
    company.forward(newsOf(entries, undefined, documents.situation.ballotsHeld), isGone);
  return {
    merge: (entries) => {
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
      if (news.some(saysWhatIsPlayed)) room.following.tell();
    },
    takeWaiting: () => log.takeWaiting(),
    kept: (entries) => documents.noteKept(entries),
    isGone,
    hearPresence: (server, bytes) => company.hearPresence(server, bytes),
    presenceHere: () => company.presenceHere(),
    tellLate: (isLate) => company.tellLate('reading', isLate),
    askPresence: () => company.askPresence(),
    forgetServer: (server) => company.forgetServer(server),
  };
}
