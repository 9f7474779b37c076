import type { JudgeContext } from '../../../lib/judge';
import type { Measure } from '../../../lib/tab/measure';
import type { PlainMeasure } from '../../../lib/tune';
import { chordInForce, measureOf, playOrder } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';

/** The chord that holds in a measure: its own, or the last one written before it in its part. */
function chordIn(board: Board, plain: PlainMeasure): string | undefined {
  const part = board.tune.parts.find(({ measures }) => measures.includes(plain));
  return part ? chordInForce(part.measures, part.measures.indexOf(plain)) : plain.chord;
}

/** What a variation of this measure is judged by: its tune, its neighbours as they are played first, and the group's level. */
export function contextOf(board: Board, plain: PlainMeasure): JudgeContext {
  const { meter, neck, key, tempo } = board.tune;
  const visits = playOrder(board.tune);
  const here = visits.findIndex((visit) => visit.measure.id === plain.id);
  const neighbour = (index: number): Measure | undefined => {
    const visit = here < 0 ? undefined : visits[index];
    return visit && measureOf(meter, visit.measure);
  };
  const before = neighbour(here - 1);
  const after = neighbour(here + 1);
  const chord = chordIn(board, plain);
  return {
    neck,
    key,
    tempo,
    plain: measureOf(meter, plain),
    melody: plain.melody,
    level: board.level,
    ...(chord === undefined ? {} : { chord }),
    ...(plain.chords === undefined ? {} : { chords: plain.chords }),
    ...(before === undefined ? {} : { before }),
    ...(after === undefined ? {} : { after }),
  };
}
