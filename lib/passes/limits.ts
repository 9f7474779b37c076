/** How many passes a plan may have. Common practice, no source: a jam of fifteen times through, with room. */
export const MIN_PASSES = 2;
export const MAX_PASSES = 20;
