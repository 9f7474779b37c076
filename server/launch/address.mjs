import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { errorCode, PlainFailure } from './failure.mjs';

/**
 * Where the server will listen: PORT (3000 unless set) and HOST (127.0.0.1 unless set). Port 0 lets the system choose.
 * @param {import('./child.mjs').Environment} env
 * @returns {{ host: string, port: number }}
 * @throws {PlainFailure} if PORT is no port
 */
export function readAddress(env) {
  const given = env.PORT || '3000';
  const port = /^\d{1,5}$/.test(given) ? Number(given) : Number.NaN;
  if (!(port <= 65535))
    throw new PlainFailure(`PORT must be a whole number from 0 to 65535, not "${given}".`);
  return { host: env.HOST || '127.0.0.1', port };
}

/**
 * Tries to listen there for a moment, so that nobody waits for a build to learn that it cannot work.
 * @param {{ host: string, port: number }} address
 * @throws {PlainFailure} if the port is taken or not allowed, or the host is no address of this machine
 */
export async function checkAddress({ host, port }) {
  const error = await new Promise((done) => {
    const probe = createServer();
    probe.once('error', done);
    probe.listen(port, host, () => probe.close(() => done(undefined)));
  });
  if (error === undefined) return;
  throw new PlainFailure(addressSentence(errorCode(error), { host, port }), { cause: error });
}

/**
 * @param {string} code of the system error
 * @param {{ host: string, port: number }} address
 */
function addressSentence(code, { host, port }) {
  if (code === 'EADDRINUSE')
    return `Port ${port} on ${host} is taken by another program; stop that one, or set PORT to another number.`;
  if (code === 'EACCES')
    return `This account may not listen on port ${port}; set PORT to a number above 1023.`;
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND')
    return `HOST is "${host}", which is no address of this machine; leave it out, or set it to 0.0.0.0 to be reachable from others.`;
  return `The server cannot listen on port ${port} of ${host} (${code}).`;
}

/**
 * Makes the data folder if need be and writes a file there for a moment.
 * @param {string} folder
 * @throws {PlainFailure} if it cannot be made or written
 */
export function checkDataFolder(folder) {
  const probe = join(folder, `.write-check-${process.pid}`);
  try {
    mkdirSync(folder, { recursive: true });
    writeFileSync(probe, '');
    rmSync(probe);
  } catch (error) {
    const code = errorCode(error);
    const why = code === 'EEXIST' || code === 'ENOTDIR' ? 'there is a file in its place' : code;
    throw new PlainFailure(
      `The data folder ${folder} cannot be written (${why}); make it writable, or set DATA_DIR to another folder.`,
      { cause: error },
    );
  }
}
