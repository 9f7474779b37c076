import { engraveMeasure } from '../../../lib/engrave/measure';
import { svgOf } from '../../../lib/engrave/svg';
import type { Tune } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import { describe } from '../../../lib/words/describe';
import { Drawing } from '../../_islands/play/drawing';
import type { Printed } from './lines';
import { linesOf, perLine } from './lines';

declare module 'react' {
  interface CSSProperties {
    /** A measure's part of its line's width. */
    readonly '--part'?: number;
  }
}

interface Drawn {
  readonly id: string;
  readonly html: string;
  /** In units of the drawing. */
  readonly width: number;
  readonly by: string | undefined;
}

function drawn({ meter, neck }: Tune, printed: Printed, isFirst: boolean): Drawn {
  const { plain, strokes, options, by } = printed;
  const measure = measureOf(meter, plain, strokes);
  const opens = isFirst && options.barLeft === 'none' ? { barLeft: 'single' as const } : {};
  const picture = engraveMeasure(measure, { ...options, ...opens });
  const { width } = picture;
  const number = options.number === undefined ? '' : `Measure ${options.number}. `;
  const title = `${number}${describe(measure, neck)}`;
  return { id: plain.id, html: svgOf({ ...picture, view: { x: 0, width } }, { title }), width, by };
}

function Line({
  measures,
  fullWidth,
}: {
  readonly measures: readonly Drawn[];
  /** Of a whole line. */
  readonly fullWidth: number;
}) {
  return (
    <ol className="sheet-line">
      {measures.map(({ id, html, width, by }) => (
        <li key={id} style={{ '--part': width / fullWidth }}>
          <Drawing html={html} />
          {by && <span className="sheet-by">{by}</span>}
        </li>
      ))}
    </ol>
  );
}

/**
 * Measures side by side as staffs, line under line; no line of them is ever broken by a page. A full line fills the page's width, a
 * shorter one is drawn to the same measure.
 */
export function SheetLines({
  tune,
  measures,
  large,
}: {
  readonly tune: Tune;
  readonly measures: readonly Printed[];
  readonly large: boolean;
}) {
  const count = perLine(large);
  const empty = { meter: tune.meter, startsAt: 0, ticks: tune.meter.measure, strokes: [] };
  const wholeLine = count * engraveMeasure(empty).width;
  return linesOf(measures, count).map((line) => {
    const row = line.map((printed, i) => drawn(tune, printed, i === 0));
    const width = row.reduce((sum, one) => sum + one.width, 0);
    const isFull = line.filter(({ plain }) => plain.startsAt === 0).length === count;
    const fullWidth = isFull ? width : Math.max(width, wholeLine);
    return <Line key={row[0]?.id} measures={row} fullWidth={fullWidth} />;
  });
}
