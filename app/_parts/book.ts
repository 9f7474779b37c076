import type { MeasureOptions } from '../../lib/engrave/measure';
import { engraveMeasure } from '../../lib/engrave/measure';
import { svgOf } from '../../lib/engrave/svg';
import { fingerprint } from '../../lib/tab/hash';
import type { Visit } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import { describe } from '../../lib/words/describe';
import type { Board, Plan } from '../../shared/board/schema';
import { measureNumbers } from '../_islands/board/sights';
import type { Book, BookDrawing, BookPass, BookVisit } from '../_islands/play/book';

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

/** The name of a plan on a board's tune: what is drawn alike is called alike. */
function bookName({ tune }: Board, plan: Plan): string {
  return fingerprint(JSON.stringify([tune, plan]));
}

/** Draws passes, each measure that looks alike once. */
class Binder {
  readonly drawings: Record<string, BookDrawing> = {};
  private readonly numbers: ReadonlyMap<string, number>;

  constructor(
    private readonly board: Board,
    private readonly plan: Plan,
  ) {
    this.numbers = measureNumbers(board);
  }

  pass(chosen: Plan['passes'][number]): BookPass {
    const runs = timesThrough(playOrder(this.board.tune));
    return {
      parts: runs.map((run) => ({
        letter: run[0]?.part ?? '',
        visits: run.map((visit, place) => this.visit(visit, run, place, chosen)),
      })),
    };
  }

  private visit(
    { measure, index }: Visit,
    run: readonly Visit[],
    place: number,
    chosen: Plan['passes'][number],
  ): BookVisit {
    const choice = chosen[measure.id] ?? 'plain';
    const variant = this.plan.variants[choice];
    const options: MeasureOptions = {
      ...(measure.chord === undefined ? {} : { chord: measure.chord }),
      barLeft: place === 0 ? 'single' : 'none',
      barRight: place === run.length - 1 ? 'double' : 'single',
      changed: variant !== undefined,
    };
    const drawing = `${measure.id} ${choice} ${options.barLeft} ${options.barRight}`;
    this.drawings[drawing] ??= this.draw(measure, variant?.strokes, options);
    return { index, drawing, ...(variant?.by ? { by: variant.by } : {}) };
  }

  private draw(
    plain: Visit['measure'],
    strokes: Visit['measure']['strokes'] | undefined,
    options: MeasureOptions,
  ): BookDrawing {
    const { meter, neck } = this.board.tune;
    const measure = measureOf(meter, plain, strokes);
    const number = this.numbers.get(plain.id) ?? 0;
    const named = number === 0 ? 'pickup' : `measure ${number}`;
    const engraved = engraveMeasure(measure, options);
    const { view, places } = engraved;
    return {
      html: svgOf(engraved, { title: `${named}: ${describe(measure, neck)}` }),
      slots: places.slots.map((x) => (((x - view.x) / view.width) * 100).toFixed(1)).join(' '),
    };
  }
}

/** Boards whose books are at hand: as many as play at one time on one machine, and some. */
const KEPT_BOOKS = 64;
const books = new Map<string, Book>();

/** All passes of a plan as they are played, drawn. The last books are at hand and not drawn again. */
export function bookOf(board: Board, plan: Plan): Book {
  const name = bookName(board, plan);
  const key = `${board.id} ${name}`;
  const known = books.get(key);
  if (known) return known;
  const binder = new Binder(board, plan);
  const passes = plan.passes.map((chosen) => binder.pass(chosen));
  const book = { name, passes, drawings: binder.drawings };
  const [oldest] = books.keys();
  if (books.size >= KEPT_BOOKS && oldest !== undefined) books.delete(oldest);
  books.set(key, book);
  return book;
}

/** The book with the passes from `first` to `last` (from 1) and their drawings; the others are there and empty. */
export function pagesOf(book: Book, first: number, last: number): Book {
  const passes = book.passes.map((pass, index) =>
    index + 1 >= first && index + 1 <= last ? pass : { parts: [] },
  );
  const used = passes.flatMap(({ parts }) =>
    parts.flatMap(({ visits }) => visits.map(({ drawing }) => drawing)),
  );
  const drawings: Record<string, BookDrawing> = {};
  for (const key of used) {
    const drawing = book.drawings[key];
    if (drawing) drawings[key] = drawing;
  }
  return { name: book.name, passes, drawings };
}
