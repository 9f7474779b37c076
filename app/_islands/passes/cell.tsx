import { memo } from 'react';
import { marksOf } from '../../../lib/tab/marks';
import type { Measure } from '../../../lib/tab/measure';
import { Tab } from '../tab/tab';

/** One measure of one pass as a glimpse of its tab, with its marks and whose it is; words and line style tell its state. */
export const Cell = memo(function Cell({
  id,
  measure,
  named,
  author,
  locked,
  changed,
  here,
  pick,
}: {
  /** "pass/measure", for finding it. */
  readonly id: string;
  readonly measure: Measure;
  /** "pass 2, measure 3". */
  readonly named: string;
  /** Whose variant; undefined for the plain measure. */
  readonly author: string | undefined;
  readonly locked: boolean;
  readonly changed: boolean;
  readonly here: boolean;
  readonly pick: (id: string) => void;
}) {
  const letters = [...new Set(marksOf(measure).flatMap(({ letter }) => letter ?? []))].join(' ');
  return (
    <button
      type="button"
      className="cell"
      data-cell={id}
      data-plain={author === undefined || undefined}
      data-locked={locked || undefined}
      data-changed={changed || undefined}
      aria-pressed={here}
      tabIndex={here ? 0 : -1}
      draggable
      onDragStart={(event) => event.dataTransfer.setData('text/x-cell', id)}
      onClick={() => pick(id)}
    >
      <Tab measure={measure} />
      <span className="cell-line">
        <span className="sr-only">{named}: </span>
        {author ? <b>{author}</b> : 'plain'} {letters}
        {locked && <i> locked</i>}
        {changed && <span className="sr-only"> changed since it was published</span>}
      </span>
    </button>
  );
});
