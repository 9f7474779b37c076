import * as v from 'valibot';

/** Why the server did not take a message. `words` say what happened and what helps. */
export const refusal = v.object({
  kind: v.literal('refused'),
  code: v.picklist([
    'not-yours',
    'voting-closed',
    'frozen',
    'held-back',
    'leaders-only',
    'nobody-there',
    'removed',
    'no-such-document',
    'unreadable',
    'incomplete',
    'too-large',
    'not-kept',
    'deleted',
    'too-busy',
  ]),
  document: v.optional(v.string()),
  words: v.string(),
});
export type Refusal = v.InferOutput<typeof refusal>;
