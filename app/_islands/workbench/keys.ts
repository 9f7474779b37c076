import type { By } from '../../../lib/tab/measure';
import type { Act } from './draft';

/** The kinds of stroke with the key and the words for each. */
export const STROKE_KEYS: readonly {
  readonly by: By;
  readonly key: string;
  readonly name: string;
  /** As the grid marks it under a slot. */
  readonly short: string;
}[] = [
  { by: 'strike', key: 's', name: 'strike', short: 'strike' },
  { by: 'brush', key: 'b', name: 'brush', short: 'brush' },
  { by: 'thumb', key: 't', name: 'thumb', short: 'thumb' },
  { by: 'hammer', key: 'h', name: 'hammer-on', short: 'H' },
  { by: 'pull', key: 'p', name: 'pull-off', short: 'P' },
  { by: 'slide', key: 'l', name: 'slide', short: 'SL' },
  { by: 'pluck', key: 'k', name: 'left-hand pluck', short: 'pluck' },
  { by: 'chop', key: 'c', name: 'stopped brush', short: 'chop' },
  { by: 'rest', key: 'r', name: 'rest', short: 'rest' },
];

const MOVES: Readonly<Record<string, Act>> = {
  ArrowLeft: { kind: 'go', slots: -1, strings: 0 },
  ArrowRight: { kind: 'go', slots: 1, strings: 0 },
  ArrowUp: { kind: 'go', slots: 0, strings: -1 },
  ArrowDown: { kind: 'go', slots: 0, strings: 1 },
  Home: { kind: 'go', slots: -99, strings: 0 },
  End: { kind: 'go', slots: 99, strings: 0 },
  Delete: { kind: 'clear' },
  Backspace: { kind: 'clear' },
  '+': { kind: 'length', slots: 1 },
  '=': { kind: 'length', slots: 1 },
  '-': { kind: 'length', slots: -1 },
};

/** What a key does in the grid, or undefined if it is left to the browser. */
export function actOfKey(event: {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly altKey: boolean;
  readonly shiftKey: boolean;
}): Act | undefined {
  const { key, altKey, shiftKey } = event;
  const letter = key.toLowerCase();
  if (event.ctrlKey || event.metaKey) {
    if (letter === 'z') return { kind: shiftKey ? 'redo' : 'undo' };
    if (letter === 'y') return { kind: 'redo' };
    return undefined;
  }
  if (altKey) return undefined;
  if (/^[0-9]$/.test(key)) return { kind: 'digit', digit: Number(key) };
  const kind = STROKE_KEYS.find((stroke) => stroke.key === letter);
  if (kind) return { kind: 'by', by: kind.by };
  return MOVES[key];
}
