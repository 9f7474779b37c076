import { pitchClassFromName } from '../../../lib/pitch';
import type { LeadIn } from '../../../lib/sound/lead-in';
import { measureOf } from '../../../lib/tune';
import type { Piece } from '../../../shared/board/passages';
import { passagesOf } from '../../../shared/board/passages';
import type { Board } from '../../../shared/board/schema';
import type { MakeRounds } from '../sound/deck';
import type { Rung } from './ladder';
import { isAlone, tempoOf } from './ladder';
import type { Settings } from './settings';

/** A round's measures, in playing order. */
export type Passage = readonly Piece[];

/** Names the picture of a piece: a measure that comes again stands on the page once. */
export function pictureKey({ plain, chosen }: Pick<Piece, 'plain' | 'chosen'>): string {
  return `${plain.id}/${chosen}`;
}

export function placeOf(piece: Piece): string {
  return `[data-picture="${pictureKey(piece)}"] .tab`;
}

function plainOf(board: Board, piece: Piece): Piece {
  const measure = measureOf(board.tune.meter, piece.plain);
  return { ...piece, measure, chosen: 'plain', changed: false };
}

/** What is practised, a passage a round; empty where there is nothing of the kind (any more). */
export function lessonOf(
  board: Board,
  {
    choice,
    stretch,
    afterPlain,
    changesOnly,
  }: Pick<Settings, 'choice' | 'stretch' | 'afterPlain' | 'changesOnly'>,
): readonly Passage[] {
  const passages = passagesOf(board, choice, stretch);
  if (choice.kind === 'variant')
    return afterPlain
      ? passages.map((passage) => passage.flatMap((piece) => [plainOf(board, piece), piece]))
      : passages;
  if (!changesOnly || choice.kind === 'plain') return passages;
  return passages
    .map((passage) => passage.filter(({ changed }) => changed))
    .filter((passage) => passage.length > 0);
}

function leadInOf({ leadIn }: Settings, board: Board): LeadIn | undefined {
  if (leadIn === 'none') return undefined;
  if (leadIn === 'count') return { kind: 'count' };
  return { kind: 'potatoes', tonic: pitchClassFromName(board.tune.key.tonic) ?? 0 };
}

/**
 * The rounds of a lesson: for ever where it loops, else each passage once, or heard and then alone. Only the first is counted in.
 */
export function roundsOf(
  board: Board,
  lesson: readonly Passage[],
  settings: Settings,
  rung: Rung,
): MakeRounds {
  return (make) => (index) => {
    const turn = settings.alternate ? Math.floor(index / 2) : index;
    const passage = settings.loop ? lesson[turn % lesson.length] : lesson[turn];
    if (!passage) return undefined;
    const leadIn = index === 0 ? leadInOf(settings, board) : undefined;
    return make(
      {
        measures: passage.map(({ measure }) => measure),
        neck: board.tune.neck,
        tempo: tempoOf(settings, rung, index),
        swing: settings.swing,
        click: settings.click,
        ...(leadIn === undefined ? {} : { leadIn }),
      },
      passage.map(placeOf),
      { alone: isAlone(settings, index), accent: settings.accent },
    );
  };
}
