import { FAMILIES } from '../../../lib/embellish/all';
import { chordSigns } from '../../../lib/engrave/frame';
import { exercise } from '../../../lib/ideas/part';
import type { Part } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';
import { SheetLines } from './line';

/** How many measures a block shows: the first line of the tune. */
const SHOWN = 4;

/** The first measures of the tune as many times as there are embellishments that go into them, each time with only that one. */
export function Ways({ board, large }: { readonly board: Board; readonly large: boolean }) {
  const [first] = board.tune.parts;
  if (!first) return null;
  const whole = first.measures.filter(({ startsAt }) => startsAt === 0).slice(0, SHOWN);
  const part: Part = { letter: first.letter, measures: whole };
  const blocks = FAMILIES.map((family) => ({
    family,
    made: exercise(part, family.id, board.tune, board.level),
  }));
  const fits = blocks.filter(({ made }) => made.some(({ idea }) => idea !== undefined));
  const others = blocks.filter((block) => !fits.includes(block)).map(({ family }) => family.name);
  return (
    <>
      {fits.map(({ family, made }) => {
        const isWhole = made.every(({ idea }) => idea !== undefined);
        return (
          <section key={family.id} className="sheet-block sheet-kept">
            <h3>
              {family.name} <span className="sheet-letter">{family.letter}</span>
            </h3>
            <p>{family.words}</p>
            <SheetLines
              tune={board.tune}
              large={large}
              measures={whole.map((plain, index) => ({
                plain,
                strokes: made[index]?.idea?.strokes ?? plain.strokes,
                options: {
                  ...chordSigns(plain),
                  barLeft: 'none',
                  changed: !isWhole && made[index]?.idea !== undefined,
                },
              }))}
            />
          </section>
        );
      })}
      {others.length > 0 && (
        <p className="sheet-others">
          Nothing of these goes into the first measures at the level of this board:{' '}
          {others.join(', ')}.
        </p>
      )}
    </>
  );
}
