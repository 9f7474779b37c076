import { Fragment } from 'react';
import { melodyMarks } from '../../../lib/melody-marks';
import { measureOf } from '../../../lib/tune';
import { contextOf } from '../workbench/context';
import { Workbench } from '../workbench/view';
import { Exercise } from './exercise';
import type { BoardSight, Opened } from './measure';
import { MeasureColumn } from './measure';
import { MeasureStructure } from './measure-structure';
import { hasPutForwardAll, measureNumbers, signsOf, variantsOf } from './sights';

/** The tune, part by part; an opened measure unfolds its workbench under its own line. */
export function Score({
  sight,
  opened,
  open,
}: {
  readonly sight: BoardSight;
  readonly opened: Opened | undefined;
  readonly open: (opened: Opened | undefined) => void;
}) {
  const { board, acts, leads, structure } = sight;
  const numbers = measureNumbers(board);
  return board.tune.parts.map((part) => {
    const signs = signsOf(part, numbers);
    return (
      <section key={part.letter} className="part" aria-labelledby={`part-${part.letter}`}>
        <h2 id={`part-${part.letter}`} className="part-letter">
          <span className="sr-only">Part </span>
          {part.letter}
        </h2>
        <ol className="line">
          {part.measures.map((plain, index) => {
            const here = opened?.measure === plain.id ? opened : undefined;
            return (
              <Fragment key={plain.id}>
                <MeasureColumn
                  sight={sight}
                  plain={plain}
                  number={numbers.get(plain.id) ?? 0}
                  signs={signs[index] ?? {}}
                  opened={here !== undefined}
                  open={open}
                />
                {here && acts && (
                  <li className="unfolded">
                    <h3>
                      {numbers.get(plain.id)
                        ? `Your variant of measure ${numbers.get(plain.id)}`
                        : 'Your variant of the pickup'}
                    </h3>
                    <Workbench
                      key={JSON.stringify(here.from)}
                      context={contextOf(board, plain)}
                      from={here.from}
                      proposed={variantsOf(board, plain.id)}
                      full={hasPutForwardAll(board, sight.me)}
                      propose={(strokes, note) => {
                        acts.propose(plain.id, strokes, note);
                        open(undefined);
                      }}
                      setPlain={
                        leads
                          ? (strokes) => {
                              const measure = measureOf(board.tune.meter, plain, strokes);
                              acts.setPlain(plain.id, strokes, melodyMarks(measure));
                              open(undefined);
                            }
                          : undefined
                      }
                      markMelody={leads ? (melody) => acts.markMelody(plain.id, melody) : undefined}
                      close={() => open(undefined)}
                    />
                    {structure && (
                      <MeasureStructure
                        board={board}
                        part={part}
                        plain={plain}
                        structure={structure}
                      />
                    )}
                  </li>
                )}
              </Fragment>
            );
          })}
        </ol>
        {acts && <Exercise board={board} part={part} acts={acts} />}
      </section>
    );
  });
}
