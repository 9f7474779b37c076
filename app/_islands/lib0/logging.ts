/** Of lib0's `logging` what yjs says in a browser: warnings, without the colours and the page elements. */
export const BOLD = Symbol('bold');
export const UNBOLD = Symbol('unbold');
export const ORANGE = Symbol('orange');
export const RED = Symbol('red');

function say(said: readonly unknown[]): void {
  console.warn(...said.filter((part) => typeof part !== 'symbol'));
}

/** Says something on the console; words only. */
export function print(...said: readonly unknown[]): void {
  say(said);
}

/** Warns on the console. */
export function warn(...said: readonly unknown[]): void {
  say(said);
}
