import type { BoardId, Ms } from '../../lib/units';
import type { Role } from '../../shared/board/roles';
import type { Codes } from '../codes';
import type { Report } from '../failure';
import type { SharedLog } from '../fanout/shared-log';
import type { Metrics } from '../metrics';
import type { Store } from '../store/store';

/** What rooms stand on. */
export interface RoomWorld {
  readonly store: Store;
  readonly now: () => Ms;
  readonly report: Report;
  readonly metrics: Metrics;
  /** Makes a link new and says where it leads. @throws StoreError if that cannot be kept */
  readonly renewLink: (board: BoardId, role: Role) => Promise<string>;
  /** A code that makes another browser this person. */
  readonly giveCode: Codes['give'];
  readonly forgetCodes: Codes['forget'];
  /** A board is opened. */
  readonly noteUse: (board: BoardId) => void;
  /** The log of a board that other servers write too; absent: this is the only one. */
  readonly share?: (board: BoardId) => SharedLog;
}
