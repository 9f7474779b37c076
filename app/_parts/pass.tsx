import type { MeasureOptions } from '../../lib/engrave/measure';
import { engraveMeasure } from '../../lib/engrave/measure';
import type { Visit } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import { describe } from '../../lib/words/describe';
import type { Board, Plan } from '../../shared/board/schema';
import { measureNumbers } from '../_islands/board/sights';
import { Tab } from '../_islands/tab/tab';

/** Visits in runs of one time through a part. */
function timesThrough(visits: readonly Visit[]): readonly (readonly Visit[])[] {
  const runs: Visit[][] = [];
  for (const visit of visits) {
    const run = runs.at(-1);
    if (run && run[0]?.part === visit.part && run[0].time === visit.time) run.push(visit);
    else runs.push([visit]);
  }
  return runs;
}

function optionsOf(run: readonly Visit[], index: number, changed: boolean): MeasureOptions {
  const chord = run[index]?.measure.chord;
  return {
    ...(chord === undefined ? {} : { chord }),
    barLeft: index === 0 ? 'single' : 'none',
    barRight: index === run.length - 1 ? 'double' : 'single',
    changed,
  };
}

/** One pass as tab, in playing order, each time through a part a block, each measure with whose variant it is. */
export function Pass({
  board,
  plan,
  pass,
  when,
}: {
  readonly board: Board;
  readonly plan: Plan;
  /** From 1. */
  readonly pass: number;
  readonly when: 'now' | 'next';
}) {
  const { meter, neck } = board.tune;
  const chosen = plan.passes[pass - 1];
  if (!chosen) return null;
  const numbers = measureNumbers(board);
  return (
    <div className="pass" data-pass={pass} data-when={when}>
      {timesThrough(playOrder(board.tune)).map((run) => {
        const part = run[0]?.part ?? '';
        return (
          <section key={run[0]?.index} className="part" aria-label={`Part ${part}`}>
            <h3 className="part-letter">{part}</h3>
            <ol className="line">
              {run.map(({ measure: plain, index }, place) => {
                const variant = plan.variants[chosen[plain.id] ?? 'plain'];
                const measure = measureOf(meter, plain, variant?.strokes);
                const options = optionsOf(run, place, variant !== undefined);
                const { width, places } = engraveMeasure(measure, options);
                const number = numbers.get(plain.id) ?? 0;
                const named = number === 0 ? 'pickup' : `measure ${number}`;
                return (
                  <li
                    key={index}
                    className="visit"
                    data-visit={index}
                    data-slots={places.slots.map((x) => ((x / width) * 100).toFixed(2)).join(' ')}
                  >
                    <Tab
                      measure={measure}
                      label={`${named}: ${describe(measure, neck)}`}
                      options={options}
                    />
                    {variant?.by && <span className="visit-by">{variant.by}</span>}
                  </li>
                );
              })}
            </ol>
          </section>
        );
      })}
    </div>
  );
}
