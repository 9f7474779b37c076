import type { Meter } from '../rhythm';
import type { Ticks } from '../units';
import { TICKS_PER_QUARTER } from '../units';
import type { WrittenMeasure } from './fold';

const WHOLE: Ticks = 4 * TICKS_PER_QUARTER;

/** A meter that stands for the length of a bar: 5/8. */
export interface OwnMeter {
  readonly beats: number;
  readonly unit: number;
}

/** A bar as files hold it: a measure, or several of which each completes the one before. */
interface Bar {
  readonly rows: readonly WrittenMeasure[];
  readonly startsAt: Ticks;
  readonly ticks: Ticks;
}

/** A measure in its bar. */
export interface BarredMeasure {
  readonly row: WrittenMeasure;
  /** It goes on in the bar of the measure before it. */
  readonly goesOn: boolean;
  /** Absent: the bar has the length that a reader expects of it; else the meter that says how long it is. */
  readonly own?: OwnMeter;
}

/** Does a measure go on in the bar that the one before it began, with no sign between them? */
function completes(before: WrittenMeasure, own: WrittenMeasure): boolean {
  if (own.opens || own.ending || own.part !== undefined) return false;
  if (before.closes > 0 || before.double) return false;
  const { startsAt, ticks } = before.measure;
  return own.measure.startsAt > 0 && startsAt + ticks === own.measure.startsAt;
}

function barsOf(rows: readonly WrittenMeasure[]): readonly Bar[] {
  const bars: Bar[] = [];
  for (const [i, row] of rows.entries()) {
    const { startsAt, ticks } = row.measure;
    const [before, last] = [rows[i - 1], bars.at(-1)];
    if (before && last && completes(before, row))
      bars[bars.length - 1] = { ...last, rows: [...last.rows, row], ticks: last.ticks + ticks };
    else bars.push({ rows: [row], startsAt, ticks });
  }
  return bars;
}

/** Does a stretch begin with this bar that a reader takes as one: a part, a repeat, or what follows a double bar? */
function begins(before: Bar | undefined, { rows: [first] }: Bar): boolean {
  if (!before || !first || first.opens || first.part !== undefined) return true;
  return first.ending === undefined && before.rows.at(-1)?.double === true;
}

function ends({ rows }: Bar, after: Bar | undefined): boolean {
  const last = rows.at(-1);
  const next = after?.rows[0];
  return !last || !next || last.double || next.opens || next.part !== undefined;
}

/** A short bar that a reader takes for a pickup of its part without being told; what leads in to a repeat is the pickup of that. */
function isPickup(bars: readonly Bar[], index: number, meter: Meter): boolean {
  const bar = bars[index];
  if (!bar || bar.startsAt === 0 || !begins(bars[index - 1], bar)) return false;
  const leads = bar.rows.at(-1)?.double === false && bars[index + 1] !== undefined;
  const [first] = bar.rows;
  const follows = first?.opens === true && first.part === undefined;
  if (follows && isPickup(bars, index - 1, meter)) return false;
  return bar.startsAt + bar.ticks === meter.measure && bar.ticks <= meter.measure / 2 && leads;
}

/** The meter of a length, in the units of the tune's meter where it comes out even. */
export function meterOfLength(ticks: Ticks, { unit }: Meter): OwnMeter {
  for (let own: number = unit; own <= 64; own *= 2)
    if ((ticks * own) % WHOLE === 0) return { beats: (ticks * own) / WHOLE, unit: own };
  let [a, b] = [ticks, WHOLE];
  while (b > 0) [a, b] = [b, a % b];
  return { beats: ticks / a, unit: WHOLE / a };
}

/**
 * Measures in their bars, with the meter that has to be named for those whose length a reader does not expect: all that are short, but for the
 * pickup of a part and the last bar of a stretch that leaves room for one.
 */
export function barred(rows: readonly WrittenMeasure[], meter: Meter): readonly BarredMeasure[] {
  const bars = barsOf(rows);
  const pickups = bars.map((_, i) => isPickup(bars, i, meter));
  const rooms = new Set(
    bars.flatMap(({ ticks }, i) => (pickups[i] === true ? [meter.measure - ticks] : [])),
  );
  return bars.flatMap((bar, i) => {
    const isLast = ends(bar, bars[i + 1]) && !begins(bars[i - 1], bar);
    const isRoom = bar.startsAt === 0 && rooms.has(bar.ticks) && isLast;
    const isFull = bar.startsAt === 0 && bar.ticks === meter.measure;
    const own = isFull || isRoom || pickups[i] ? undefined : meterOfLength(bar.ticks, meter);
    return bar.rows.map((row, r) => ({
      row,
      goesOn: r > 0,
      ...(own === undefined ? {} : { own }),
    }));
  });
}

/**
 * The meter to be named before each measure and, last, after all of them: only where it changes, so that the tune's own comes back.
 */
export function meterChanges(
  measures: readonly Pick<BarredMeasure, 'own'>[],
  meter: Meter,
): readonly (OwnMeter | undefined)[] {
  const meters = [...measures.map(({ own }) => own), undefined];
  const isSame = (a: OwnMeter | undefined, b: OwnMeter | undefined) =>
    a?.beats === b?.beats && a?.unit === b?.unit;
  return meters.map((own, i) => (isSame(own, meters[i - 1]) ? undefined : (own ?? meter)));
}
