import * as v from 'valibot';

const problem = v.object({ error: v.object({ message: v.string() }) });

/** What the server says is wrong, in its words; a plain sentence where it says nothing that can be read. */
export function parseProblem(text: string): string {
  try {
    const parsed = v.safeParse(problem, JSON.parse(text));
    if (parsed.success) return parsed.output.error.message;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
  }
  return 'That did not work. Try again in a moment.';
}
