import type { Meter } from '../../rhythm';
import type { Visit } from '../../tune';
import type { Ticks } from '../../units';
import type { OwnMeter } from '../bars';
import { meterChanges, meterOfLength } from '../bars';

/** A meter from a moment on. */
export interface MeterAt extends OwnMeter {
  readonly at: Ticks;
}

interface Bar {
  readonly startsAt: Ticks;
  readonly ticks: Ticks;
}

/** The finest unit that our files name is a sixty-fourth. */
const FINEST: Ticks = 30;

/** Measures in their bars, whatever parts they stand in: a pickup completes the bar before it. */
function barsOf(visits: readonly Visit[]): readonly Bar[] {
  const bars: Bar[] = [];
  for (const { measure } of visits) {
    const last = bars.at(-1);
    if (last && measure.startsAt > 0 && last.startsAt + last.ticks === measure.startsAt)
      bars[bars.length - 1] = { ...last, ticks: last.ticks + measure.ticks };
    else bars.push({ startsAt: measure.startsAt, ticks: measure.ticks });
  }
  return bars;
}

/** Where in its bar a file begins: at a pickup's place, so that the bar lines of file and tune are in step; else at the line. */
export function offsetOf(visits: readonly Visit[], meter: Meter): Ticks {
  const [first] = barsOf(visits);
  return first && first.startsAt + first.ticks === meter.measure ? first.startsAt : 0;
}

/**
 * The meters of a file: the tune's, where a bar has another length one that says it, and the tune's again after it. The last may stand at
 * the end. Where a length is no multiple of a sixty-fourth, which no meter of a file can say, there is only the tune's.
 * @param visits all that is played, measure by measure
 */
export function metersOf(visits: readonly Visit[], meter: Meter): readonly MeterAt[] {
  const bars = barsOf(visits);
  const start: MeterAt = { at: 0, beats: meter.beats, unit: meter.unit };
  if (bars.some(({ ticks }) => ticks % FINEST !== 0)) return [start];
  let line = offsetOf(visits, meter);
  const lengths = bars.map(({ ticks }, i) => (i === 0 ? line + ticks : ticks));
  const lines = bars.map(({ ticks }, i) => {
    line += ticks;
    return i === 0 ? 0 : line - ticks;
  });
  const own = lengths.map((ticks) =>
    ticks === meter.measure ? {} : { own: meterOfLength(ticks, meter) },
  );
  const changes = meterChanges(own, meter);
  const named = [...lines, line].flatMap((at, i): readonly MeterAt[] => {
    const change = changes[i];
    return change ? [{ at, beats: change.beats, unit: change.unit }] : [];
  });
  return named[0]?.at === 0 ? named : [start, ...named];
}
