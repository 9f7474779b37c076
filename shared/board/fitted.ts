import type { Tune } from '../../lib/tune';
import { MAX_TEMPO, MAX_TITLE, MIN_TEMPO } from './values';

/** The tune with what a board can hold of its title and tempo, and what was changed. */
export function fitted(tune: Tune): { readonly tune: Tune; readonly remarks: readonly string[] } {
  const title = tune.title.slice(0, MAX_TITLE);
  const tempo = Math.min(MAX_TEMPO, Math.max(MIN_TEMPO, tune.tempo));
  const remarks = [
    ...(title === tune.title ? [] : [`The title was cut to ${MAX_TITLE} characters.`]),
    ...(tempo === tune.tempo ? [] : [`The tempo was set to ${tempo} instead of ${tune.tempo}.`]),
  ];
  return { tune: { ...tune, title, tempo }, remarks };
}
