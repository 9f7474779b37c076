import type { Position } from '../../../lib/transport/transport';

/** Puts the mark where everybody is: on the measure that is played, at the slot that is played. Draws only what changed. */
export function markPlace(root: HTMLElement, position: Position, slotsBefore: number): void {
  const { dataset } = root;
  dataset.place = position.kind;
  if (position.kind !== 'playing') {
    delete dataset.visit;
    delete dataset.slot;
    for (const old of root.querySelectorAll('[data-now]')) old.removeAttribute('data-now');
    return;
  }
  const { pass, visit, slot } = position;
  if (
    dataset.pass === String(pass) &&
    dataset.visit === String(visit) &&
    dataset.slot === String(slot) &&
    root.querySelector('[data-now]')
  )
    return;
  dataset.pass = String(pass);
  dataset.visit = String(visit);
  dataset.slot = String(slot);
  const place = root.querySelector<HTMLElement>(`[data-pass="${pass}"] [data-visit="${visit}"]`);
  for (const old of root.querySelectorAll('[data-now]'))
    if (old !== place) old.removeAttribute('data-now');
  if (!place) return;
  if (!place.hasAttribute('data-now')) {
    place.setAttribute('data-now', '');
    place.scrollIntoView({ block: 'nearest', behavior: 'smooth' });
  }
  const at = place.dataset.slots?.split(' ')[slot - slotsBefore];
  if (at) place.style.setProperty('--at', `${at}%`);
}
