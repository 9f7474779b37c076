import type { Visit } from '../tune';

/** How much of a pass is one person's turn when it goes round the circle. */
export type TurnLength = 'measure' | 'line';
export const TURN_LENGTHS: readonly TurnLength[] = ['measure', 'line'];

/** Measures of a line, counted within one time through a part. Source: common practice, no source: half of a part of eight. */
const LINE = 4;

/**
 * The turns of a pass: for each measure, in playing order, which turn it belongs to, from 0. A turn never reaches from one time through a
 * part into the next, and a pickup belongs to the measure that it leads into.
 */
export function turnsOf(visits: readonly Visit[], length: TurnLength): readonly number[] {
  const measures = length === 'line' ? LINE : 1;
  let turn = -1;
  let inTurn = 0;
  return visits.map(({ part, time, measure }, index) => {
    const before = visits[index - 1];
    const begins = !before || before.part !== part || before.time !== time;
    if (begins || inTurn === measures) {
      turn += 1;
      inTurn = 0;
    }
    if (measure.startsAt === 0) inTurn += 1;
    return turn;
  });
}

/**
 * Whose turn it is, as a place in the circle, from 0. Within a pass each turn is the next person's. Each pass begins one person further
 * on, so that after as many passes as there are people everybody has had every turn once. Where the last turn of a pass and the first of
 * the next would then be the same person's, it begins one person further back instead (two people cannot avoid it).
 * @param turns how many turns a pass has
 * @param pass from 1
 * @throws RangeError if nobody is in the circle
 */
export function whoseTurn(turn: number, turns: number, people: number, pass: number): number {
  if (people < 1) throw new RangeError('nobody is in the circle');
  const onwards = people > 2 && turns % people === 2 ? people - 1 : 1;
  return (turn + (pass - 1) * onwards) % people;
}
