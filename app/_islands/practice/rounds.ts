import type { Rung } from '../../../shared/board/ladder';
import type { Passage, Playing } from '../../../shared/board/lesson';
import { lessonRound } from '../../../shared/board/lesson';
import type { Piece } from '../../../shared/board/passages';
import type { Board } from '../../../shared/board/schema';
import type { MakeRounds } from '../sound/deck';

/** Names the picture of a piece: a measure that comes again stands on the page once. */
export function pictureKey({ plain, chosen }: Pick<Piece, 'plain' | 'chosen'>): string {
  return `${plain.id}/${chosen}`;
}

export function placeOf(piece: Piece): string {
  return `[data-picture="${pictureKey(piece)}"] .tab`;
}

/** The rounds of a lesson with the pictures that show them. */
export function roundsOf(
  board: Board,
  lesson: readonly Passage[],
  playing: Playing,
  rung: Rung,
): MakeRounds {
  return (make) => (index) => {
    const round = lessonRound(board, lesson, playing, rung, index);
    if (!round) return undefined;
    const { passage, request, alone } = round;
    return make(request, passage.map(placeOf), { alone, accent: playing.accent });
  };
}
