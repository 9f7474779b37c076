import type { BoardId } from '../../lib/units';
import type { PlayState } from '../../shared/board/play-state';
import { playOf } from '../../shared/board/play-state';
import { HOUSE_DOCUMENT, LEAD_DOCUMENT } from '../../shared/board/roles';
import { countedAs } from '../../shared/board/same';
import type { LoggedUpdate } from '../store/store';
import type { Company } from './company';
import type { Connection } from './connection';
import type { LiveDocuments } from './documents';
import type { RoomLog } from './log';

/** The parts of a room that following looks at. */
export interface FollowedRoom {
  readonly documents: LiveDocuments;
  readonly company: Company;
  readonly log: RoomLog;
}

/** Can this change alter what is played, or who counts as whom? */
export function saysWhatIsPlayed({ document }: Pick<LoggedUpdate, 'document'>): boolean {
  return document === LEAD_DOCUMENT || document === HOUSE_DOCUMENT;
}

/** What a socket was told last: what is the same for all as text, one for all of them. */
interface Told {
  readonly common: string;
  readonly as: PlayState['as'];
}

/** Tells those who only follow what is played, whenever it is not what they were told last (R25). */
export class Following {
  private readonly told = new WeakMap<Connection, Told>();

  constructor(
    private readonly board: BoardId,
    private readonly room: FollowedRoom,
  ) {}

  /** Tells everybody who follows, or one who has come, how it is at this moment, once that is kept. */
  tell(newcomer?: Connection): void {
    const { documents, company, log } = this.room;
    const followers = newcomer ? [newcomer] : [...company.for('play')];
    if (followers.length === 0) return;
    const board = documents.read(this.board, undefined);
    if (!board) return;
    const play = playOf(board);
    const common = JSON.stringify(play);
    log.whenKept(() => {
      for (const follower of followers) {
        const as = countedAs(board, follower.participant);
        const last = this.told.get(follower);
        if (last?.common === common && last.as === as) continue;
        this.told.set(follower, { common, as });
        follower.say({ kind: 'play', state: { ...play, as } });
      }
    });
  }
}
