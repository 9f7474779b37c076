import type { MeasureOptions } from '../../lib/engrave/measure';
import { engraveMeasure } from '../../lib/engrave/measure';
import { measureOf, playOrder } from '../../lib/tune';
import { describe } from '../../lib/words';
import type { Board, Plan } from '../../shared/board/schema';
import { measureNumbers } from '../_islands/board/sights';
import { Tab } from '../_islands/tab/tab';

/** One pass as tab, in playing order, each measure with whose variant it is. */
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
  const visits = playOrder(board.tune);
  return (
    <ol className="line pass" data-pass={pass} data-when={when}>
      {visits.map((visit) => {
        const { measure: plain, index } = visit;
        const variant = plan.variants[chosen[plain.id] ?? 'plain'];
        const measure = measureOf(meter, plain, variant?.strokes);
        const starts =
          visits[index - 1]?.part !== visit.part || visits[index - 1]?.time !== visit.time;
        const next = visits[index + 1];
        const ends = !next || next.part !== visit.part || next.time !== visit.time;
        const options: MeasureOptions = {
          ...(plain.chord === undefined ? {} : { chord: plain.chord }),
          barLeft: starts ? 'single' : 'none',
          barRight: ends ? 'double' : 'single',
          changed: variant !== undefined,
        };
        const { width, places } = engraveMeasure(measure, options);
        const number = numbers.get(plain.id) ?? 0;
        const named = `${number === 0 ? 'pickup' : `measure ${number}`}, part ${visit.part}`;
        return (
          <li
            key={index}
            className="visit"
            data-visit={index}
            data-slots={places.slots.map((x) => ((x / width) * 100).toFixed(2)).join(' ')}
          >
            {starts && (
              <span className="visit-part">
                <span className="sr-only">Part </span>
                {visit.part}
              </span>
            )}
            <Tab
              measure={measure}
              label={`${named}: ${describe(measure, neck)}`}
              options={options}
            />
            <span className="visit-by">{variant?.by ? variant.by : ' '}</span>
          </li>
        );
      })}
    </ol>
  );
}
