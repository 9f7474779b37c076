import { chordSigns } from '../../../lib/engrave/frame';
import type { MeasureOptions } from '../../../lib/engrave/measure';
import type { WrittenMeasure } from '../../../lib/formats/fold';
import { writtenMeasures } from '../../../lib/formats/fold';
import type { Stroke } from '../../../lib/tab/measure';
import type { PlainMeasure, Tune } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers } from '../../_islands/board/sights';

/** One measure of a sheet. */
export interface Printed {
  readonly plain: PlainMeasure;
  readonly strokes?: readonly Stroke[];
  readonly options: MeasureOptions;
  /** Whose variant, where it is one. */
  readonly by?: string;
}

export interface PrintedPart {
  readonly letter: string;
  readonly measures: readonly Printed[];
}

/** Stretches of the tune as written, each a part once or more in a row. */
function stretches(tune: Tune): readonly (readonly WrittenMeasure[])[] {
  const found: WrittenMeasure[][] = [];
  for (const row of writtenMeasures(tune)) {
    const last = found.at(-1);
    if (row.part === undefined && last) last.push(row);
    else found.push([row]);
  }
  return found;
}

/** Does the stretch hold a measure that is in none before it? */
function bringsNews(rows: readonly WrittenMeasure[], before: readonly WrittenMeasure[]): boolean {
  const there = new Set(before.map(({ measure }) => measure.id));
  return rows.some(({ measure }) => !there.has(measure.id));
}

function barRightOf({ closes }: WrittenMeasure, isLast: boolean, isEnd: boolean) {
  if (closes > 0) return 'repeat';
  if (!isLast) return 'single';
  return isEnd ? 'final' : 'double';
}

/**
 * The tune as it is printed: each part once, with repeats and endings as signs where its form has them. A part that comes again is not
 * printed again, since the form stands over it.
 */
export function printedParts({ tune }: Pick<Board, 'tune'>): readonly PrintedPart[] {
  const numbers = measureNumbers({ tune });
  const all = stretches(tune);
  const shown = all.filter((rows, i) => bringsNews(rows, all.slice(0, i).flat()));
  return shown.map((rows, s) => {
    let ending = false;
    const measures = rows.map((row, i): Printed => {
      const number = numbers.get(row.measure.id) ?? 0;
      const goesOn = ending && row.ending === undefined;
      ending = (ending || row.ending !== undefined) && row.endingEnds === undefined;
      return {
        plain: row.measure,
        options: {
          barLeft: row.opens ? 'repeat' : 'none',
          barRight: barRightOf(row, i === rows.length - 1, s === shown.length - 1),
          ...chordSigns(row.measure),
          ...(number === 0 ? {} : { number }),
          ...(row.ending ? { ending: row.ending } : goesOn ? { ending: 'continued' } : {}),
        },
      };
    });
    return { letter: rows[0]?.part ?? '', measures };
  });
}

/** Measures in lines of so many whole ones; a pickup goes along with the measure after it. */
export function linesOf(
  measures: readonly Printed[],
  count: number,
): readonly (readonly Printed[])[] {
  const lines: Printed[][] = [];
  let whole = count;
  for (const printed of measures) {
    if (whole === count) {
      lines.push([]);
      whole = 0;
    }
    lines.at(-1)?.push(printed);
    if (printed.plain.startsAt === 0) whole += 1;
  }
  return lines;
}

/** Whole measures in a line: as many as can be read from a stand. Settled by looking. */
const PER_LINE = 4;
const PER_LARGE_LINE = 2;
/** Lines that fit on every paper together with their headings, in large print too. Settled by looking. */
const KEPT_LINES = 4;

export function perLine(large: boolean): number {
  return large ? PER_LARGE_LINE : PER_LINE;
}

/** Is this so little that it can stand on one page whole? */
export function isKept(measures: readonly (readonly Printed[])[], large: boolean): boolean {
  const lines = measures.flatMap((part) => linesOf(part, perLine(large)));
  return lines.length <= KEPT_LINES;
}
