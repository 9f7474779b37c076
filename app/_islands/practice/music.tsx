import { chordSigns } from '../../../lib/engrave/frame';
import type { MeasureOptions } from '../../../lib/engrave/measure';
import { describe } from '../../../lib/words/describe';
import type { Passage } from '../../../shared/board/lesson';
import type { Piece } from '../../../shared/board/passages';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers } from '../board/sights';
import { Tab } from '../tab/tab';
import { pictureKey } from './rounds';

/** What stands on the page: each measure once, part by part. */
function linesOf(board: Board, passage: Passage): readonly (readonly [string, Passage])[] {
  const once = [...new Map(passage.map((piece) => [pictureKey(piece), piece])).values()];
  return board.tune.parts.flatMap(({ letter, measures }) => {
    const ids = new Set(measures.map(({ id }) => id));
    const pieces = once.filter(({ plain }) => ids.has(plain.id));
    return pieces.length > 0 ? [[letter, pieces] as const] : [];
  });
}

function optionsOf({ plain, changed }: Piece, number: number, index: number): MeasureOptions {
  return {
    barLeft: index === 0 ? 'single' : 'none',
    barRight: 'single',
    changed,
    ...chordSigns(plain),
    ...(number === 0 ? {} : { number }),
    ...(plain.endings === undefined ? {} : { ending: plain.endings }),
  };
}

/** The tab of what is practised. */
export function Music({ board, passage }: { readonly board: Board; readonly passage: Passage }) {
  const numbers = measureNumbers(board);
  return linesOf(board, passage).map(([letter, pieces]) => (
    <section key={letter} className="part" aria-label={`Part ${letter}`}>
      <h2 className="part-letter">
        <span className="sr-only">Part </span>
        {letter}
      </h2>
      <ol className="line">
        {pieces.map((piece, index) => {
          const number = numbers.get(piece.plain.id) ?? 0;
          const named = number === 0 ? 'pickup' : `measure ${number}`;
          return (
            <li key={pictureKey(piece)} className="column" data-picture={pictureKey(piece)}>
              <Tab
                measure={piece.measure}
                label={`${named}: ${describe(piece.measure, board.tune.neck)}`}
                options={optionsOf(piece, number, index)}
              />
            </li>
          );
        })}
      </ol>
    </section>
  ));
}
