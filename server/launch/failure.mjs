/** Something outside our code went wrong and a person can act on it; `message` is the one sentence to tell them. */
export class PlainFailure extends Error {
  /** @override */
  name = 'PlainFailure';
}

/**
 * Runs a command's body; a `PlainFailure` becomes its sentence on stderr and exit code 1. Anything else is our mistake and keeps its stack.
 * @param {() => Promise<number>} body its value becomes the exit code
 */
export async function tellPlainly(body) {
  try {
    process.exitCode = await body();
  } catch (error) {
    if (!(error instanceof PlainFailure)) throw error;
    process.stderr.write(`${error.message}\n`);
    process.exitCode = 1;
  }
}

/**
 * The code of a Node system error ("EACCES"), or "unknown" for anything else.
 * @param {unknown} error
 */
export function errorCode(error) {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : 'unknown';
}
