import type { BoardId, Ms } from '../../../lib/units';
import type { PlayState } from '../../../shared/board/play-state';
import { playStateOf } from '../../../shared/board/play-state';
import { playedOn } from '../../../shared/board/played';
import type { Board } from '../../../shared/board/schema';
import type { Me, SessionState } from '../session/session';
import { Session } from '../session/session';
import type { PlaySource, SourceState } from './source';

/** With it comes what a leader presses. */
export { LeadControls } from './lead';

/** A leader's play page: what is played comes out of the whole board, which the leader writes also while the line is down. */
export class Leading implements PlaySource {
  private readonly session: Session;
  private seen: SessionState | undefined;
  private current: SourceState | undefined;

  /**
   * @param rendered the board as the server rendered it, as far as it is played from
   * @param first what was played then; holds until the documents have come
   */
  constructor(
    board: BoardId,
    private readonly me: Me,
    rendered: Board,
    private readonly first: PlayState,
    renderedMs: Ms,
  ) {
    this.session = new Session(board, me, rendered, renderedMs);
  }

  readonly subscribe = (listener: () => void) => this.session.subscribe(listener);
  readonly now = () => this.session.now();
  readonly clock = () => this.session.clock();
  readonly putNoticeAway = () => this.session.putNoticeAway();
  readonly destroy = () => this.session.destroy();

  readonly state = (): SourceState => {
    const seen = this.session.state();
    if (this.current && seen === this.seen) return this.current;
    this.current = this.stateOf(seen);
    this.seen = seen;
    return this.current;
  };

  private stateOf(seen: SessionState): SourceState {
    const { board, live, here, connection, notice, late, gone, inTime } = seen;
    const play =
      this.current && board === this.seen?.board
        ? this.current.play
        : live
          ? playStateOf(board, this.me.participant)
          : this.first;
    const going = { name: play.going.name, played: playedOn(board) };
    return {
      play,
      connection,
      late,
      gone,
      inTime,
      ...(notice === undefined ? {} : { notice }),
      lead: { session: this.session, board, here, going },
    };
  }
}
