import type { Timeline } from '../../lib/transport/timeline';
import type { Transport } from '../../lib/transport/transport';
import { timelineOf } from '../../lib/tune';
import type { ParticipantId } from '../../lib/units';
import { agreedOn, nameOfPlayed, playedOn } from './played';
import { countedAs } from './same';
import type { Board, Played } from './schema';

/** Something to play, as far as the pages of those who follow need it. */
export interface Playable {
  /** As `nameOfPlayed` calls it. */
  readonly name: string;
  /** How many passes it has. */
  readonly passes: number;
}

/** What is played and when: all that a page follows it by, small enough to be told again with every press of a leader. */
export interface PlayState {
  readonly transport: Transport;
  /** What was set going, or what would be. */
  readonly going: Playable & {
    /** One of its passes in time. */
    readonly timeline: Timeline;
    /** Does it go round the circle? */
    readonly circle: boolean;
  };
  /** What is on the pages while nobody plays. */
  readonly agreed: Playable;
  /** Whom the reader is counted as: mostly themselves. */
  readonly as: ParticipantId;
}

function playableOf(played: Played): Playable {
  return { name: nameOfPlayed(played), passes: played.plan.passes.length };
}

/** What is played on a board and when, for everybody alike. */
export function playOf(
  board: Pick<Board, 'tune' | 'plan' | 'played' | 'transport'>,
): Omit<PlayState, 'as'> {
  const going = playedOn(board);
  const agreed = playableOf(agreedOn(board));
  return {
    transport: board.transport,
    going: {
      ...(board.played ? playableOf(board.played) : agreed),
      timeline: timelineOf(going.tune),
      circle: going.circle !== undefined,
    },
    agreed,
  };
}

/** What is played on a board and when, for one who reads it: the same in the server's word, on its pages and at a leader's. */
export function playStateOf(
  board: Pick<Board, 'tune' | 'plan' | 'played' | 'transport' | 'people'>,
  reader: ParticipantId,
): PlayState {
  return { ...playOf(board), as: countedAs(board, reader) };
}

/** What is played, or agreed, under a name; undefined where neither is called that. */
export function playedNamed(
  board: Pick<Board, 'tune' | 'plan' | 'played'>,
  name: string,
): Played | undefined {
  return [playedOn(board), agreedOn(board)].find((played) => nameOfPlayed(played) === name);
}
