import { FAMILIES } from '../../../lib/embellish/all';
import type { Family } from '../../../lib/embellish/family';
import { chordSigns } from '../../../lib/engrave/frame';
import { exercise } from '../../../lib/ideas/part';
import type { Part } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';
import type { Printed } from './lines';

/** How many measures a block shows: the first line of the tune. */
const SHOWN = 4;

/** The same few measures with one embellishment and no other, wherever it goes. */
export interface OneThing {
  readonly family: Family;
  readonly measures: readonly Printed[];
}

/** The first measures of the tune, once for each embellishment that goes into them, and the families that go nowhere in them. */
export function oneThingAtATime({ tune, level }: Pick<Board, 'tune' | 'level'>): {
  readonly blocks: readonly OneThing[];
  readonly others: readonly Family[];
} {
  const [first] = tune.parts;
  const whole = first?.measures.filter(({ startsAt }) => startsAt === 0).slice(0, SHOWN) ?? [];
  const part: Part = { letter: first?.letter ?? 'A', measures: whole };
  const all = FAMILIES.map((family): OneThing => {
    const made = exercise(part, family.id, tune, level).map(({ idea }) => idea?.strokes);
    const isWhole = made.every((strokes) => strokes !== undefined);
    const measures = whole.map((plain, i): Printed => {
      const strokes = made[i];
      const changed = !isWhole && strokes !== undefined;
      const options = { ...chordSigns(plain), barLeft: 'none' as const, changed };
      return { plain, options, ...(strokes ? { strokes } : {}) };
    });
    return { family, measures };
  });
  const goes = ({ measures }: OneThing) => measures.some(({ strokes }) => strokes !== undefined);
  return {
    blocks: all.filter(goes),
    others: all.filter((one) => !goes(one)).map(({ family }) => family),
  };
}
