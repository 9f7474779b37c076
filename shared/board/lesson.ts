import { pitchClassFromName } from '../../lib/pitch';
import type { LeadIn } from '../../lib/sound/lead-in';
import type { ScoreRequest } from '../../lib/sound/score';
import { measureOf } from '../../lib/tune';
import type { Ladder, Rung } from './ladder';
import { isAlone, tempoOf } from './ladder';
import type { Choice, Piece, Stretch } from './passages';
import { passagesOf } from './passages';
import type { Board } from './schema';

/** How practising begins. */
export const COUNTS = ['none', 'count', 'potatoes'] as const;
export type Count = (typeof COUNTS)[number];

/** What somebody practises. */
export interface Lesson {
  readonly choice: Choice;
  readonly stretch: Stretch;
  /** A variant comes right after the plain measure. */
  readonly afterPlain: boolean;
  /** Measures that are plain are left out. */
  readonly changesOnly: boolean;
}

/** How its rounds are played. */
export interface Playing extends Ladder {
  /** Round and round; else each passage once. */
  readonly loop: boolean;
  readonly leadIn: Count;
  readonly click: boolean;
  /** The first click of a measure stands out. */
  readonly accent: boolean;
  /** The first of two slots as a part of both, 1/2 to 3/4. */
  readonly swing: number;
}

/** A round's measures, in playing order. */
export type Passage = readonly Piece[];

function plainOf(board: Board, piece: Piece): Piece {
  const measure = measureOf(board.tune.meter, piece.plain);
  return { ...piece, measure, chosen: 'plain', changed: false };
}

/** What is practised, a passage a round; empty where there is nothing of the kind (any more). */
export function lessonOf(
  board: Board,
  { choice, stretch, afterPlain, changesOnly }: Lesson,
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

function leadInOf(count: Count, board: Board): LeadIn | undefined {
  if (count === 'none') return undefined;
  if (count === 'count') return { kind: 'count' };
  return { kind: 'potatoes', tonic: pitchClassFromName(board.tune.key.tonic) ?? 0 };
}

/** One round as it is to be played. */
export interface LessonRound {
  readonly passage: Passage;
  readonly request: ScoreRequest;
  /** The strings are silent: the person plays it alone. */
  readonly alone: boolean;
}

/**
 * A round of a lesson, counted from 0: for ever where it loops, else each passage once, or heard and then alone; undefined after the
 * last. Only the first is counted in.
 */
export function lessonRound(
  board: Board,
  lesson: readonly Passage[],
  playing: Playing,
  rung: Rung,
  index: number,
): LessonRound | undefined {
  const turn = playing.alternate ? Math.floor(index / 2) : index;
  const passage = playing.loop ? lesson[turn % lesson.length] : lesson[turn];
  if (!passage) return undefined;
  const leadIn = index === 0 ? leadInOf(playing.leadIn, board) : undefined;
  return {
    passage,
    request: {
      measures: passage.map(({ measure }) => measure),
      neck: board.tune.neck,
      tempo: tempoOf(playing, rung, index),
      swing: playing.swing,
      click: playing.click,
      ...(leadIn === undefined ? {} : { leadIn }),
    },
    alone: isAlone(playing, index),
  };
}
