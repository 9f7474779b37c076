/** How a tune is to be set: a tuning by its id, or '' for the one it lies best in. */
export interface Setting {
  readonly tuning: string;
  readonly capo: number;
  /** Semitones from the tune as written; absent: the octave that lies best. */
  readonly transpose?: number;
}

export const BEST: Setting = { tuning: '', capo: 0 };
