import * as v from 'valibot';
import type { CreateBoard, CreatedBoard } from '../../../shared/api/create-board';
import type { SettingOffer } from '../../../shared/api/problem';

const created = v.object({
  board: v.string(),
  links: v.object({ lead: v.string(), join: v.string(), watch: v.string() }),
  remarks: v.array(v.string()),
});

const refused = v.object({
  error: v.object({
    message: v.string(),
    where: v.optional(v.object({ line: v.optional(v.number()), column: v.optional(v.number()) })),
    offers: v.optional(
      v.array(
        v.object({
          tuning: v.string(),
          capo: v.number(),
          transpose: v.number(),
          words: v.string(),
        }),
      ),
      [],
    ),
  }),
});

export type Creation =
  | { readonly ok: true; readonly value: CreatedBoard }
  | {
      readonly ok: false;
      readonly words: string;
      readonly line?: number;
      readonly column?: number;
      readonly offers: readonly SettingOffer[];
    };

const NO_ANSWER: Creation = {
  ok: false,
  words: 'The server did not answer. Your tune is still here: try again in a moment.',
  offers: [],
};

/** Asks the server for a new board. */
export async function requestBoard(body: CreateBoard): Promise<Creation> {
  let answer: unknown;
  try {
    const response = await fetch('/api/boards', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
    answer = await response.json();
  } catch (error) {
    // fetch rejects with a TypeError where nobody answers, json() with a SyntaxError where something else does.
    if (error instanceof TypeError || error instanceof SyntaxError) return NO_ANSWER;
    throw error;
  }
  const value = v.safeParse(created, answer);
  if (value.success) return { ok: true, value: value.output };
  const problem = v.safeParse(refused, answer);
  if (!problem.success) return NO_ANSWER;
  const { message, where, offers } = problem.output.error;
  return {
    ok: false,
    words: message,
    offers,
    ...(where?.line === undefined ? {} : { line: where.line }),
    ...(where?.column === undefined ? {} : { column: where.column }),
  };
}
