import type { ClockReading } from '../../../lib/clock';
import type { Ms } from '../../../lib/units';
import type { PlayState } from '../../../shared/board/play-state';
import type { Board } from '../../../shared/board/schema';
import type { Presence } from '../../../shared/wire/presence';
import type { LineState } from '../session/line';
import type { Session } from '../session/session';
import type { NamedPlayed } from './use-music';

/** What a leader has beside what everybody sees. */
export interface Lead {
  readonly session: Session;
  readonly board: Board;
  readonly here: readonly Presence[];
  readonly going: NamedPlayed;
}

/** What a play page knows: plain values, a new object at every change. */
export interface SourceState extends LineState {
  readonly play: PlayState;
  /** Was the server's time known at least once? */
  readonly inTime: boolean;
  /** Absent for who only follows. */
  readonly lead?: Lead;
}

/** Where a play page knows it from: a line of its own, or at a leader's the whole board. */
export interface PlaySource {
  readonly subscribe: (listener: () => void) => () => void;
  readonly state: () => SourceState;
  /** The server's time as well as it is known here; this browser's own before the first answer. */
  readonly now: () => Ms;
  /** How good that time is; undefined while it is not known. */
  readonly clock: () => ClockReading | undefined;
  readonly putNoticeAway: () => void;
  readonly destroy: () => void;
}
