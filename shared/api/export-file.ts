import type { Problem } from '../../lib/result';

/** What `GET /api/boards/:board/export/:format` is asked for. */
export interface ExportWish {
  /** "musicxml", "midi", "abc", "json". */
  readonly format: string;
  /** "plain", "all", or the number of a pass from 1; absent: all that will be played, which is the plain tune until something is agreed. */
  readonly pass?: string;
  /** What JSON holds: "board" (absent: this), or "music" for the tune and the agreed passes alone. */
  readonly holds?: string;
}

/** A file to take away. */
export interface ExportFile {
  /** Of plain letters, digits and hyphens, with its ending. */
  readonly name: string;
  /** Value of a `content-type` header. */
  readonly type: string;
  readonly body: string | Uint8Array;
}

export type ExportProblem = Problem<
  'no-such-format' | 'no-such-pass' | 'plain-only' | 'no-such-holding'
>;
