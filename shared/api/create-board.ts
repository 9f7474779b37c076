import * as v from 'valibot';
import { MAX_ABC } from '../../lib/formats/abc/read';
import { MAX_TITLE } from '../board/values';

/** Longest MusicXML, in characters: some ten passes of 32 measures as we write them. */
const MAX_TEXT = 3_000_000;
/** A compressed score or a MIDI file of at most 1.5 MB. */
const base64 = v.pipe(v.string(), v.maxLength(2_000_000), v.base64());

const count = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(10_000));
const name = v.optional(v.pipe(v.string(), v.maxLength(200)));
const chosen = { part: name, voice: name };

/** Body of `POST /api/boards`. */
export const createBoard = v.object({
  title: v.optional(v.pipe(v.string(), v.trim(), v.maxLength(MAX_TITLE))),
  tune: v.union([
    /** `number`: which tune of the text, from 1; absent: the first. */
    v.strictObject({
      abc: v.pipe(v.string(), v.maxLength(MAX_ABC)),
      number: v.optional(count),
    }),
    /** `part` by its id or name, `voice` by its name: that voice is the melody. Absent: tab for a five-string as it is, or the first voice. */
    v.strictObject({ musicxml: v.pipe(v.string(), v.maxLength(MAX_TEXT)), ...chosen }),
    v.strictObject({ mxl: base64, ...chosen }),
    /** `track`: among those with notes, from 1; absent: the likeliest. */
    v.strictObject({ midi: base64, track: v.optional(count) }),
    /** A board as `export/json` gives it; `saved-board.ts` says what it holds. */
    v.strictObject({ board: v.unknown() }),
    v.strictObject({ demo: v.literal(true) }),
  ]),
  tuning: v.optional(v.string()),
  capo: v.optional(v.pipe(v.number(), v.integer())),
  /** Semitones; absent: the octave that lies best. */
  transpose: v.optional(v.pipe(v.number(), v.integer(), v.minValue(-36), v.maxValue(36))),
});
export type CreateBoard = v.InferOutput<typeof createBoard>;

/** Answer 201: the board and the paths of its three links. */
export interface CreatedBoard {
  readonly board: string;
  readonly links: { readonly lead: string; readonly join: string; readonly watch: string };
  /** What was understood but left out or changed on the way in. */
  readonly remarks: readonly string[];
}
