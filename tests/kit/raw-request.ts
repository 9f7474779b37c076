import { connect } from 'node:net';
import type { Ms } from '../../lib/units';

/** What came back for bytes that were sent as they are. */
export interface RawAnswer {
  /** The status of every answer that came, in order. */
  readonly statuses: readonly number[];
  /** All of it: heads and bodies. */
  readonly text: string;
  /** Did the server close the line within the time? */
  readonly closed: boolean;
}

/**
 * Sends bytes to a port as they are, whatever HTTP makes of them, and reads until the server closes the line.
 * @param patience how long it may take, ms
 */
export function rawRequest(port: number, bytes: string, patience: Ms = 8000): Promise<RawAnswer> {
  return new Promise((done) => {
    const socket = connect(port, '127.0.0.1');
    let text = '';
    const end = (closed: boolean) => {
      clearTimeout(timer);
      socket.destroy();
      const statuses = [...text.matchAll(/^HTTP\/1\.[01] (\d{3})/gm)].map(([, code]) =>
        Number(code),
      );
      done({ statuses, text, closed });
    };
    const timer = setTimeout(() => end(false), patience);
    socket.on('data', (chunk) => {
      text += chunk.toString('latin1');
    });
    socket.on('close', () => end(true));
    // A line that is cut is closed, and that is told.
    socket.on('error', () => undefined);
    socket.write(Buffer.from(bytes, 'latin1'));
  });
}
