import type { MeasureOptions } from '../../../lib/engrave/measure';
import type { Stroke } from '../../../lib/tab/measure';
import type { PlainMeasure, Tune } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import { describe } from '../../../lib/words/describe';
import { Tab } from '../../_islands/tab/tab';

/** One measure of a sheet. */
export interface Printed {
  readonly plain: PlainMeasure;
  readonly strokes?: readonly Stroke[];
  readonly options: MeasureOptions;
  /** Whose variant, where it is one. */
  readonly by?: string;
}

/** Measures side by side as one staff; a line of it is never broken by a page. */
export function SheetLine({
  tune,
  measures,
}: {
  readonly tune: Tune;
  readonly measures: readonly Printed[];
}) {
  return (
    <ol className="sheet-line">
      {measures.map(({ plain, strokes, options, by }) => {
        const measure = measureOf(tune.meter, plain, strokes);
        return (
          <li key={plain.id}>
            <Tab measure={measure} label={describe(measure, tune.neck)} options={options} />
            {by && <span className="sheet-by">{by}</span>}
          </li>
        );
      })}
    </ol>
  );
}
