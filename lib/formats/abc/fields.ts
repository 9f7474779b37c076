import type { Meter } from '../../rhythm';
import { isMeterName, meterNamed } from '../../rhythm';
import type { Bpm, Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';

const WHOLE: Ticks = 4 * TICKS_PER_QUARTER;

/** The meter that an M: field names, or undefined if the board does not know it. `C` is 4/4, `C|` is 2/2. */
export function meterFrom(text: string): Meter | undefined {
  const name =
    text.trim() === 'C' ? '4/4' : text.trim() === 'C|' ? '2/2' : text.replaceAll(' ', '');
  return isMeterName(name) ? meterNamed(name) : undefined;
}

/**
 * Unit note length where no L: is given: a sixteenth below three quarters, else an eighth.
 * Source: ABC 2.1, section 3.1.7.
 */
export function defaultUnit(meter: Meter): Ticks {
  return meter.beats / meter.unit < 0.75 ? WHOLE / 16 : WHOLE / 8;
}

/** Ticks of an L: field (1/1 to 1/64), or undefined if it names no such length. */
export function unitFrom(text: string): Ticks | undefined {
  const match = /^1(?:\/(1|2|4|8|16|32|64))?$/.exec(text.replaceAll(' ', ''));
  return match ? WHOLE / Number(match[1] ?? 1) : undefined;
}

/**
 * Tempo of a Q: field in beats (`meter.beat`) a minute, or undefined if it has no number. `1/4 3/8=40` counts the sum;
 * a bare number counts unit lengths.
 * Source: ABC 2.1, section 3.1.8.
 */
export function tempoFrom(text: string, meter: Meter, unit: Ticks): Bpm | undefined {
  const plain = text.replace(/"[^"]*"/g, ' ').trim();
  const match = /^((?:\d{1,3}\/\d{1,3}\s*)*)=?\s*(\d{1,4}(?:\.\d+)?)$/.exec(plain);
  if (!match) return undefined;
  const lengths = [...(match[1] ?? '').matchAll(/(\d+)\/(\d+)/g)];
  const counted = lengths.reduce((sum, [, n, d]) => sum + (WHOLE * Number(n)) / Number(d), 0);
  const ticks = lengths.length === 0 ? unit : counted;
  const tempo = (Number(match[2]) * ticks) / meter.beat;
  return Number.isFinite(tempo) && tempo > 0 ? tempo : undefined;
}

/** Longest order of parts that is read; a page of them is a slip of the pen. */
const MAX_ORDER = 64;

/**
 * The parts that a header's P: plays, in order: `A3` is AAA, `(AB)3` is ABABAB. Undefined if it cannot be read.
 * Source: ABC 2.1, section 3.1.9.
 */
export function orderFrom(text: string): readonly string[] | undefined {
  const stack: string[][] = [[]];
  const repeat = (items: readonly string[], count: string | undefined) =>
    Array.from({ length: Math.min(Number(count || 1), MAX_ORDER) }, () => items).flat();
  for (const match of text.matchAll(/([A-Z])(\d*)|(\()|\)(\d*)|([\s.,])|(.)/g)) {
    if (match[6] !== undefined) return undefined;
    if (match[5] !== undefined) continue;
    if (match[3] !== undefined) stack.push([]);
    else if (match[1] !== undefined) stack.at(-1)?.push(...repeat([match[1]], match[2]));
    else {
      const inner = stack.pop() ?? [];
      if (stack.length === 0) return undefined;
      stack.at(-1)?.push(...repeat(inner, match[4]));
    }
    if ((stack.at(-1)?.length ?? 0) > MAX_ORDER) return undefined;
  }
  const [order] = stack;
  return stack.length === 1 && order && order.length > 0 ? order : undefined;
}
