import type { MeasureOptions } from '../../../lib/engrave/measure';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { svgOf } from '../../../lib/engrave/svg';
import type { Measure } from '../../../lib/tab/measure';

/** A measure as drawn tab. `label` is what is read aloud in its place; without it the words stand beside. Escaping is the serializer's. */
export function Tab({
  measure,
  label,
  options,
  className,
}: {
  readonly measure: Measure;
  readonly label?: string;
  readonly options?: MeasureOptions;
  readonly className?: string;
}) {
  const html = svgOf(engraveMeasure(measure, options), label === undefined ? {} : { title: label });
  return <div className={`tab ${className ?? ''}`} dangerouslySetInnerHTML={{ __html: html }} />;
}
