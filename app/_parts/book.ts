import { chordSigns } from '../../lib/engrave/frame';
import type { MeasureOptions } from '../../lib/engrave/measure';
import { engraveMeasure } from '../../lib/engrave/measure';
import { svgOf } from '../../lib/engrave/svg';
import type { Visit } from '../../lib/tune';
import { measureOf } from '../../lib/tune';
import { describe } from '../../lib/words/describe';
import type { Cell } from '../../shared/board/played';
import { nameOfPlayed, passOf } from '../../shared/board/played';
import type { Played } from '../../shared/board/schema';
import { measureNumbers } from '../_islands/board/sights';
import type { Book, BookDrawing, BookPass, BookVisit } from '../_islands/play/book';

/** Cells in runs of one time through a part. */
function timesThrough(cells: readonly Cell[]): readonly (readonly Cell[])[] {
  const runs: Cell[][] = [];
  for (const cell of cells) {
    const run = runs.at(-1);
    const first = run?.[0]?.visit;
    if (run && first?.part === cell.visit.part && first.time === cell.visit.time) run.push(cell);
    else runs.push([cell]);
  }
  return runs;
}

/** Draws passes, each measure that looks alike once. */
class Binder {
  readonly drawings: Record<string, BookDrawing> = {};
  tall = 0;
  private readonly numbers: ReadonlyMap<string, number>;

  constructor(private readonly played: Played) {
    this.numbers = measureNumbers(played);
  }

  pass(number: number): BookPass {
    return {
      parts: timesThrough(passOf(this.played, number)).map((run) => ({
        letter: run[0]?.visit.part ?? '',
        visits: run.map((cell, place) => this.visit(cell, run, place)),
      })),
    };
  }

  private visit(
    { visit: { measure, index }, choice, variant, turn }: Cell,
    run: readonly Cell[],
    place: number,
  ): BookVisit {
    const options: MeasureOptions = {
      ...chordSigns(measure),
      barLeft: place === 0 ? 'single' : 'none',
      barRight: place === run.length - 1 ? 'double' : 'single',
      changed: variant !== undefined,
      close: true,
    };
    const drawing = `${measure.id} ${choice} ${options.barLeft} ${options.barRight}`;
    this.drawings[drawing] ??= this.draw(measure, variant?.strokes, options);
    const by = variant?.by ? { by: variant.by } : {};
    return { index, drawing, ...by, ...(turn ? { turn } : {}) };
  }

  private draw(
    plain: Visit['measure'],
    strokes: Visit['measure']['strokes'] | undefined,
    options: MeasureOptions,
  ): BookDrawing {
    const { meter, neck } = this.played.tune;
    const measure = measureOf(meter, plain, strokes);
    const number = this.numbers.get(plain.id) ?? 0;
    const named = number === 0 ? 'pickup' : `measure ${number}`;
    const engraved = engraveMeasure(measure, options);
    const { view, places, height } = engraved;
    this.tall = Math.max(this.tall, height / view.width);
    return {
      html: svgOf(engraved, { title: `${named}: ${describe(measure, neck)}`, short: true }),
      slots: places.slots.map((x) => (((x - view.x) / view.width) * 100).toFixed(1)).join(' '),
    };
  }
}

/** Books at hand: of as many boards as play at one time on one machine, and some. */
const KEPT_BOOKS = 64;
/** By all that they are made of. */
const books = new Map<string, Book>();

/** All passes of what is played, drawn. The last books are at hand and not drawn again. */
export function bookOf(played: Played): Book {
  const { tune, plan, circle } = played;
  const key = JSON.stringify([tune, plan, circle]);
  const known = books.get(key);
  if (known) return known;
  const binder = new Binder(played);
  const passes = plan.passes.map((_, index) => binder.pass(index + 1));
  const { drawings, tall } = binder;
  const book = { name: nameOfPlayed(played), passes, drawings, tall };
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
  return { ...book, passes, drawings };
}
