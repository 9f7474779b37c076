import type { Alternative, Arrangement } from '../../../lib/arrange/arrange';
import { alternatives, arrange } from '../../../lib/arrange/arrange';
import { readAbc } from '../../../lib/formats/abc/read';
import { neckOf, tuningById } from '../../../lib/tuning';
import type { Setting } from './setting';

/** A tune as it would stand on a board, with what else it could be set in. */
export interface Preview {
  readonly arrangement: Arrangement;
  readonly remarks: readonly string[];
  readonly alternatives: readonly Alternative[];
}

export type Previewed =
  | { readonly ok: true; readonly preview: Preview }
  | {
      readonly ok: false;
      readonly words: string;
      readonly line?: number;
      readonly column?: number;
      readonly alternatives: readonly Alternative[];
    };

/** Reads and sets a tune as the server would, here in the browser. Takes some 100 ms for 32 measures; load this module when it is wanted. */
export function previewTune(abc: string, { tuning, capo, transpose }: Setting): Previewed {
  const read = readAbc(abc);
  if (!read.ok) {
    const words = read.problems.map((problem) => problem.words).join(' ');
    const { line, column } = read.problems[0]?.where ?? {};
    return {
      ok: false,
      words,
      ...(line === undefined ? {} : { line }),
      ...(column === undefined ? {} : { column }),
      alternatives: [],
    };
  }
  const { melody, remarks } = read.value;
  const known = tuningById(tuning);
  const arranged = arrange(melody, {
    ...(known ? { neck: neckOf(known, capo) } : {}),
    ...(transpose === undefined ? {} : { transpose }),
  });
  const others = alternatives(melody);
  if (!arranged.ok) {
    const words = arranged.problems.map((problem) => problem.words).join(' ');
    return { ok: false, words, alternatives: others };
  }
  return {
    ok: true,
    preview: {
      arrangement: arranged.value,
      remarks: [...remarks, ...arranged.value.remarks],
      alternatives: others,
    },
  };
}
