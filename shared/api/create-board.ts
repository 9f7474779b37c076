import * as v from 'valibot';
import { MAX_TITLE } from '../board/values';

/** Longest MusicXML, in characters: some ten passes of 32 measures as we write them. */
const MAX_TEXT = 3_000_000;
/** A compressed score or a MIDI file of at most 1.5 MB. */
const base64 = v.pipe(v.string(), v.maxLength(2_000_000), v.base64());

/** Body of `POST /api/boards`. */
export const createBoard = v.object({
  title: v.optional(v.pipe(v.string(), v.trim(), v.maxLength(MAX_TITLE))),
  tune: v.union([
    v.strictObject({ abc: v.pipe(v.string(), v.maxLength(200_000)) }),
    v.strictObject({ musicxml: v.pipe(v.string(), v.maxLength(MAX_TEXT)) }),
    v.strictObject({ mxl: base64 }),
    v.strictObject({ midi: base64 }),
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
