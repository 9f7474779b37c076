import { FAMILIES } from '../../../lib/embellish/all';
import { exercise } from '../../../lib/ideas/part';
import type { Part } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';
import { SheetLine } from './line';

/** How many measures a block shows: the first line of the tune. */
const SHOWN = 4;

/** The first measures of the tune as many times as there are embellishments that go into them, each time with only that one. */
export function Ways({ board }: { readonly board: Board }) {
  const [first] = board.tune.parts;
  if (!first) return null;
  const whole = first.measures.filter(({ startsAt }) => startsAt === 0).slice(0, SHOWN);
  const part: Part = { letter: first.letter, measures: whole };
  return FAMILIES.map((family) => {
    const made = exercise(part, family.id, board.tune, board.level);
    if (made.every(({ idea }) => idea === undefined)) return null;
    return (
      <section key={family.id} className="sheet-block">
        <h3>
          {family.name} <span className="sheet-letter">{family.letter}</span>
        </h3>
        <p>{family.words}</p>
        <SheetLine
          tune={board.tune}
          measures={whole.map((plain, index) => ({
            plain,
            strokes: made[index]?.idea?.strokes ?? plain.strokes,
            options: {
              ...(plain.chord === undefined ? {} : { chord: plain.chord }),
              barLeft: index === 0 ? 'single' : 'none',
              changed: made[index]?.idea !== undefined,
            },
          }))}
        />
      </section>
    );
  });
}
