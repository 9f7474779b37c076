import { randomBytes } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import type { BackupAnswer } from './host';
import { refusalOf } from './operator';
import { COPY_FOLDER } from './store/move';
import type { Store } from './store/store';

const PREFIX = 'backup-';
/** What may be left over: copies, and folders in which they are made. An operator's own `backup-monday.sqlite` is none. */
const LEFT_OVER = [/^backup-[0-9a-f]{16}\.sqlite(-\w+)?$/, COPY_FOLDER];

/** Hands out copies of the database to whoever shows the operator's token; one at a time. */
export class BackupDesk {
  private busy = false;

  constructor(
    private readonly store: Store,
    private readonly folder: string,
    private readonly token: string | undefined,
  ) {}

  /** @throws StoreError if the copy cannot be made (on a full disk, say) */
  async take(authorization: string | undefined): Promise<BackupAnswer> {
    const refusal = refusalOf(this.token, authorization, 'to take copies');
    if (refusal) return { ok: false, ...refusal };
    if (this.busy) return { ok: false, status: 429, words: 'A copy is being taken already.' };
    this.busy = true;
    const path = join(this.folder, `${PREFIX}${randomBytes(8).toString('hex')}.sqlite`);
    const done = async () => {
      this.busy = false;
      await rm(path, { force: true });
    };
    try {
      await this.removeLeftOver();
      await this.store.copyTo(path);
      const { size } = await stat(path);
      const file = createReadStream(path);
      file.once('close', () => void done());
      return { ok: true, bytes: size, body: bytesOf(file) };
    } catch (error) {
      await done();
      throw error;
    }
  }

  /** Removes copies of a server that was killed while it handed one out: who has been taken out since is still in them. */
  async removeLeftOver(): Promise<void> {
    for (const name of await readdir(this.folder))
      if (LEFT_OVER.some((ours) => ours.test(name)))
        await rm(join(this.folder, name), { recursive: true, force: true });
  }
}

/** A file's bytes as the web's own stream, which reads on only as fast as it is read. */
function bytesOf(file: Readable): ReadableStream<Uint8Array> {
  const pieces = file[Symbol.asyncIterator]();
  return new ReadableStream({
    async pull(controller) {
      const { done, value } = await pieces.next();
      if (done) controller.close();
      else controller.enqueue(new Uint8Array(value));
    },
    cancel() {
      file.destroy();
    },
  });
}
