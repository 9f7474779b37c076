/** Something outside our code went wrong and a person can act on it; `message` is the one sentence to tell them. */
export class PlainFailure extends Error {
  override name = 'PlainFailure';
}

/** The code of a Node system error ("EACCES"), or "unknown" for anything else. */
export function errorCode(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : 'unknown';
}

/** Tells whoever runs the server about something that went wrong, once, on stderr. */
export type Report = (words: string, error: unknown) => void;

export const reportOnStderr: Report = (words, error) => {
  const why = error instanceof Error ? error.message : String(error);
  process.stderr.write(`${words} (${why})\n`);
};

/** The same as one line of JSON, for programs that read logs. */
export const reportAsJson: Report = (words, error) => {
  const why = error instanceof Error ? error.message : String(error);
  const time = new Date().toISOString();
  process.stderr.write(`${JSON.stringify({ time, level: 'error', message: words, why })}\n`);
};
