import * as v from 'valibot';
import type { LinkCode } from '../../../shared/api/link-code';
import { linkCodeAnswer } from '../../../shared/api/link-code';
import { linkCodePath } from '../../../shared/board/paths';
import { parseProblem } from '../people/problem';

const NO_ANSWER = 'The server does not answer. Try again in a moment.';

/** A link drawn as a code by the server, or in words why not. */
export async function askCode(board: string, link: string): Promise<LinkCode | string> {
  try {
    const response = await fetch(linkCodePath(board), {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ link }),
    });
    const text = await response.text();
    if (!response.ok) return parseProblem(text);
    const parsed = v.safeParse(linkCodeAnswer, JSON.parse(text));
    return parsed.success ? parsed.output : NO_ANSWER;
  } catch (error) {
    // fetch rejects with a TypeError where nobody answers, JSON.parse with a SyntaxError where something else does.
    if (error instanceof TypeError || error instanceof SyntaxError) return NO_ANSWER;
    throw error;
  }
}
