import * as v from 'valibot';

/**
 * Whether the server is late in keeping what is written, or in learning what others wrote: nobody sees a change before it is kept. Said when it begins, to
 * who comes meanwhile, and when it is over.
 */
export const keeping = v.object({ kind: v.literal('keeping'), late: v.boolean() });
