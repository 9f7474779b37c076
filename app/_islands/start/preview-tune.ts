import type { Alternative, Arrangement } from '../../../lib/arrange/arrange';
import { alternatives, arrange } from '../../../lib/arrange/arrange';
import type { Melody } from '../../../lib/melody';
import type { Tune } from '../../../lib/tune';
import { neckOf, tuningById } from '../../../lib/tuning';
import type { CreateBoard } from '../../../shared/api/create-board';
import type { Chosen } from './read-tune';
import { readTune } from './read-tune';
import type { Setting } from './setting';

export { choicesIn, sourceWith } from './read-tune';

/** A melody as it would stand on a board, with what else it could be set in. */
export interface MelodyPreview {
  readonly kind: 'melody';
  readonly melody: Melody;
  readonly arrangement: Arrangement;
  readonly remarks: readonly string[];
  readonly alternatives: readonly Alternative[];
  /** What the last correction asked for that this setting cannot play, in words; the tab is still the one before it. */
  readonly stuck?: string;
}

/** A tune as it would stand on a board. */
export type Preview =
  | MelodyPreview
  | { readonly kind: 'tab'; readonly tune: Tune; readonly remarks: readonly string[] };

export type Previewed =
  | { readonly ok: true; readonly preview: Preview }
  | {
      readonly ok: false;
      readonly words: string;
      readonly line?: number;
      readonly column?: number;
      readonly alternatives: readonly Alternative[];
    };

function optionsOf({ tuning, capo, transpose }: Setting) {
  const known = tuningById(tuning);
  return {
    ...(known ? { neck: neckOf(known, capo) } : {}),
    ...(transpose === undefined ? {} : { transpose }),
  };
}

/** A melody set for the banjo, with what was left out of its source. */
export function previewMelody(
  melody: Melody,
  setting: Setting,
  remarks: readonly string[],
): Previewed {
  const arranged = arrange(melody, optionsOf(setting));
  const others = alternatives(melody);
  if (!arranged.ok) {
    const words = arranged.problems.map((problem) => problem.words).join(' ');
    return { ok: false, words, alternatives: others };
  }
  const preview = { melody, arrangement: arranged.value, remarks, alternatives: others };
  return { ok: true, preview: { kind: 'melody', ...preview } };
}

/** The same preview of a melody that was corrected, in the same setting. Takes some 10 ms for 32 measures. */
export function corrected(preview: MelodyPreview, melody: Melody): MelodyPreview {
  const { tune, transposed } = preview.arrangement;
  const { stuck: _, ...before } = preview;
  const arranged = arrange(melody, { neck: tune.neck, transpose: transposed });
  if (arranged.ok) return { ...before, melody, arrangement: arranged.value };
  return { ...before, melody, stuck: arranged.problems.map(({ words }) => words).join(' ') };
}

/** Reads and sets a tune as the server would, here in the browser. Takes some 100 ms for 32 measures; load this module when it is wanted. */
export function previewTune(
  source: CreateBoard['tune'],
  chosen: Chosen,
  setting: Setting,
): Previewed {
  const read = readTune(source, chosen);
  if (!read.ok) return { ...read, alternatives: [] };
  const { value } = read;
  if (value.kind === 'tab') return { ok: true, preview: value };
  return previewMelody(value.melody, setting, value.remarks);
}
