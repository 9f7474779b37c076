import type { Position } from '../../../lib/transport/transport';

/** What the mark needs to know of the page. */
export interface MarkSettings {
  /** Slots of its bar before the measure begins: not 0 for a pickup. */
  readonly slotsBefore: number;
  /** Slots after which the mark moves on: one, or a whole beat where a person wants little motion. */
  readonly slotsAStep: number;
}

function clear(root: HTMLElement): void {
  for (const old of root.querySelectorAll('[data-now]')) old.removeAttribute('data-now');
}

function measureAt(root: HTMLElement, pass: number, visit: number): HTMLElement | undefined {
  const found = root.querySelector<HTMLElement>(
    `:scope > section > .pass[data-pass="${pass}"] [data-visit="${visit}"]`,
  );
  return found ?? undefined;
}

/** Puts the mark where everybody is: on the measure that is played (or waited before), at the slot that is played. Draws only what changed. */
export function markPlace(
  root: HTMLElement,
  position: Position,
  { slotsBefore, slotsAStep }: MarkSettings,
): void {
  const { dataset } = root;
  dataset.place = position.kind;
  if (position.kind === 'stopped' || position.kind === 'ended') {
    delete dataset.visit;
    delete dataset.slot;
    clear(root);
    return;
  }
  const { pass, visit } = position;
  const slot = position.kind === 'playing' ? position.slot : slotsBefore;
  const place = measureAt(root, pass, visit);
  const here = `${pass} ${visit} ${slot} ${place !== undefined}`;
  if (dataset.here === here && root.querySelector('[data-now]') === (place ?? null)) return;
  dataset.here = here;
  dataset.pass = String(pass);
  dataset.visit = String(visit);
  if (position.kind === 'playing') dataset.slot = String(slot);
  else delete dataset.slot;
  if (!place) {
    clear(root);
    return;
  }
  const step = Math.max(slotsBefore, slot - (slot % slotsAStep));
  const at = place.dataset.slots?.split(' ')[step - slotsBefore];
  if (at) place.style.setProperty('--at', `${at}%`);
  if (place.hasAttribute('data-now')) return;
  clear(root);
  place.setAttribute('data-now', '');
  keepInView(root);
}

/** The first measure of the line after this one; undefined on the last line of the page. */
function nextLine(root: HTMLElement, place: HTMLElement): HTMLElement | undefined {
  const { bottom } = place.getBoundingClientRect();
  const visits = [...root.querySelectorAll<HTMLElement>('[data-visit]')];
  return visits
    .slice(visits.indexOf(place) + 1)
    .find((other) => other.getBoundingClientRect().top > bottom - 1);
}

/** Scrolls so that the line that is played and the next one are in view, if they are not: the played one then stands at the top. */
export function keepInView(root: HTMLElement): void {
  const place = root.querySelector<HTMLElement>('[data-now]');
  if (!place) return;
  // The bar above is not at the top of the screen before the page is scrolled, and then it is.
  const clear = root.querySelector('.play-status')?.getBoundingClientRect().height ?? 0;
  const lead = root.querySelector('.play-lead')?.getBoundingClientRect().top;
  const bottom = Math.min(window.innerHeight, lead ?? window.innerHeight);
  const line = place.getBoundingClientRect();
  const last = (nextLine(root, place) ?? place).getBoundingClientRect();
  if (line.top >= clear && last.bottom <= bottom) return;
  window.scrollBy({ top: line.top - clear, behavior: 'instant' });
}
