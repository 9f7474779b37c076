/** Something outside our code went wrong and a person can act on it; `message` is the one sentence to tell them. */
export class PlainFailure extends Error {
  override name = 'PlainFailure';
}

/** The code of a Node system error ("EACCES"), or "unknown" for anything else. */
export function errorCode(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : 'unknown';
}

/** Tells whoever runs the server about something that went wrong, or, without an error, that was done as they asked; once, on stderr. */
export type Report = (words: string, error?: unknown) => void;

const whyOf = (error: unknown) => (error instanceof Error ? error.message : String(error));

export const reportOnStderr: Report = (words, error) => {
  const why = error === undefined ? '' : ` (${whyOf(error)})`;
  process.stderr.write(`${words}${why}\n`);
};

/** The same as one line of JSON, for programs that read logs. */
export const reportAsJson: Report = (words, error) => {
  const time = new Date().toISOString();
  const line =
    error === undefined
      ? { time, level: 'info', message: words }
      : { time, level: 'error', message: words, why: whyOf(error) };
  process.stderr.write(`${JSON.stringify(line)}\n`);
};
