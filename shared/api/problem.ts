/** A tuning, capo and transposition in which a tune lies on the neck, as `POST /api/boards` takes them, with what speaks for it. */
export interface SettingOffer {
  readonly tuning: string;
  readonly capo: number;
  /** Semitones from the tune as written. */
  readonly transpose: number;
  readonly words: string;
}

/** Answer to bad input: what is wrong and where, in words for the person who sent it, and what to do instead where we know. */
export interface ApiProblem {
  readonly error: {
    readonly message: string;
    readonly where?: Readonly<Record<string, unknown>>;
    readonly offers?: readonly SettingOffer[];
  };
}
