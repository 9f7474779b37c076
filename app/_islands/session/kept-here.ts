import type { ParticipantId } from '../../../lib/units';
import type { DocumentName } from '../../../shared/board/roles';
import { ballotOf, saidBy } from '../../../shared/board/roles';

/** What a document is called among the databases of this browser. */
export function databaseOf(board: string, name: DocumentName): string {
  return `passround/${board}/${name}`;
}

/** What the settings of practice are called in this browser's storage. */
export function practiceKeyOf(board: string): string {
  return `passround/practice/${board}`;
}

/**
 * Deletes what this browser keeps of somebody's words, votes and practice on a board. Where another page still has them open, they go when
 * it lets go of them.
 */
export function forgetOnThisBrowser(board: string, participant: ParticipantId): void {
  try {
    for (const name of [saidBy(participant), ballotOf(participant)])
      indexedDB.deleteDatabase(databaseOf(board, name));
    localStorage.removeItem(practiceKeyOf(board));
  } catch (error) {
    // Private windows may have no storage at all, and then nothing is kept.
    if (!(error instanceof DOMException || error instanceof ReferenceError)) throw error;
  }
}
