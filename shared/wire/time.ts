import * as v from 'valibot';

const ms = v.pipe(v.number(), v.finite());

/** What time is it with you? `t1` is the asker's own clock, in ms. */
export const askTime = v.object({ kind: v.literal('ask-time'), t1: ms });

/** `t2` when the question arrived and `t3` when the answer left, server ms. Source: RFC 5905, section 8. */
export const tellTime = v.object({ kind: v.literal('time'), t1: ms, t2: ms, t3: ms });
