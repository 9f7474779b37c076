import { randomBytes } from 'node:crypto';
import {
  closeSync,
  constants,
  fdatasync,
  fstatSync,
  fsyncSync,
  openSync,
  readFileSync,
  writeSync,
} from 'node:fs';
import { dirname } from 'node:path';
import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import type { BoardId } from '../../lib/units';
import { parseDocumentName } from '../../shared/board/roles';
import { isBoardId } from '../links';
import type { LoggedUpdate } from './store';
import { StoreError } from './store';

/** What one call of `append` adds to one board: all of it is kept or nothing. */
export interface JournalEntry {
  readonly board: BoardId;
  readonly entries: readonly LoggedUpdate[];
}

/** Says which use of the file a record belongs to; what earlier uses have left behind it has another token. */
export type Token = Uint8Array;

const TOKEN_BYTES = 8;
/** Length of the body and the sum of token and body, 32 bits each, little end first; token. */
const HEAD_BYTES = 8 + TOKEN_BYTES;

const EMPTY = new Uint8Array(0);

export function newToken(): Token {
  return new Uint8Array(randomBytes(TOKEN_BYTES));
}

/** One record: a head, and the entry as its body. */
export function journalRecord({ board, entries }: JournalEntry, token: Token): Uint8Array {
  const body = encoding.encode((encoder) => {
    encoding.writeVarString(encoder, board);
    encoding.writeVarUint(encoder, entries.length);
    for (const { document, update } of entries) {
      encoding.writeVarString(encoder, document);
      encoding.writeVarUint8Array(encoder, update);
    }
  });
  const record = Buffer.allocUnsafe(HEAD_BYTES + body.length);
  record.set(token, 8);
  record.set(body, HEAD_BYTES);
  record.writeUInt32LE(body.length, 0);
  record.writeUInt32LE(crc32(record.subarray(8)), 4);
  return record;
}

/**
 * The records of this token from the beginning of a file's bytes, and where they end. A record that was torn, or that belongs to another
 * use of the file, is where they end.
 * @throws StoreError if a record is whole and still cannot be read: a newer Passround wrote it
 */
export function readJournal(
  bytes: Uint8Array,
  token: Token,
): { readonly entries: readonly JournalEntry[]; readonly end: number } {
  const entries: JournalEntry[] = [];
  const view = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
  let end = 0;
  while (end + HEAD_BYTES <= view.length) {
    const next = end + HEAD_BYTES + view.readUInt32LE(end);
    if (next > view.length) break;
    const owner = view.subarray(end + 8, end + HEAD_BYTES);
    const sum = crc32(view.subarray(end + 8, next));
    if (!owner.equals(token) || sum !== view.readUInt32LE(end + 4)) break;
    entries.push(readBody(view.subarray(end + HEAD_BYTES, next)));
    end = next;
  }
  return { entries, end };
}

function readBody(body: Uint8Array): JournalEntry {
  const decoder = decoding.createDecoder(body);
  const board = decoding.readVarString(decoder);
  const count = decoding.readVarUint(decoder);
  const entries = Array.from({ length: count }, (): LoggedUpdate => {
    const parsed = parseDocumentName(decoding.readVarString(decoder));
    if (!parsed) throw new StoreError('the journal is of a newer Passround');
    // A copy: the bytes of the whole file are not held for it.
    return { document: parsed.name, update: decoding.readVarUint8Array(decoder).slice() };
  });
  if (!isBoardId(board)) throw new StoreError('the journal is of a newer Passround');
  return { board, entries };
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit += 1) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  return rest;
});

/**
 * Tells whole bytes from torn ones: CRC-32 as in gzip (RFC 1952, section 8), 0 to 2^32 - 1. A cryptographic sum would take longer than
 * all the rest of writing a record; nobody who could forge one needs to.
 */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (CRC_TABLE[(crc ^ byte) & 0xff] ?? 0) ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

/**
 * A file at whose end updates are kept until the database takes them: one short write and one sync, while the process goes on. A
 * database would write several pages and hold up the process until they are synced.
 *
 * The database knows the token of the records that it has not yet taken. Taking them and giving the journal a new token is one
 * transaction of the database, so none is taken twice and none comes back once it was taken: the file is then written from its beginning.
 */
export class Journal {
  private end: number;
  private isSpoilt = false;

  private constructor(
    private readonly file: number,
    private token: Token,
    /** What the database has not yet taken, as it was found. */
    readonly found: readonly JournalEntry[],
    end: number,
  ) {
    this.end = end;
  }

  /** Opens the file or makes it. @throws Error of the system, or StoreError if it is of a newer Passround */
  static open(path: string, token: Token): Journal {
    const file = openSync(path, constants.O_RDWR | constants.O_CREAT, 0o600);
    try {
      // A file whose name is not on disk is lost with all that is in it.
      syncFolder(dirname(path));
      const { entries, end } = readJournal(readFileSync(file), token);
      return new Journal(file, token, entries, end);
    } catch (error) {
      closeSync(file);
      throw error;
    }
  }

  /** How far the file is written with this token, bytes. */
  get length(): number {
    return this.end;
  }

  /** After a failure nothing more is written under this token, since nobody knows what of it is on disk. */
  get isUsable(): boolean {
    return !this.isSpoilt;
  }

  /**
   * Adds records, one call at a time.
   * @param done called when they are on disk, or with the system's error; then there is `restart`. Not before `append` has returned
   */
  append(records: readonly Uint8Array[], done: (error: Error | undefined) => void): void {
    const [first = EMPTY, ...more] = records;
    const bytes = more.length === 0 ? first : Buffer.concat(records);
    try {
      this.put(bytes, this.end);
    } catch (error) {
      if (!isSystemError(error)) throw error;
      this.isSpoilt = true;
      setImmediate(done, error);
      return;
    }
    fdatasync(this.file, (error) => {
      if (error) this.isSpoilt = true;
      else this.end += bytes.length;
      done(error ?? undefined);
    });
  }

  /** The database has taken everything, and knows this token. */
  restart(token: Token): void {
    this.token = token;
    this.end = 0;
    this.isSpoilt = false;
  }

  /** A record of this use of the file. */
  record(entry: JournalEntry): Uint8Array {
    return journalRecord(entry, this.token);
  }

  /** Overwrites all that is in the file; only after `restart`. @throws Error of the system */
  wipe(): void {
    this.put(Buffer.alloc(fstatSync(this.file).size), 0);
    fsyncSync(this.file);
  }

  close(): void {
    closeSync(this.file);
  }

  private put(bytes: Uint8Array, at: number): void {
    for (let done = 0; done < bytes.length; )
      done += writeSync(this.file, bytes, done, bytes.length - done, at + done);
  }
}

/** Did the system refuse to read or write? */
export function isSystemError(error: unknown): error is Error {
  return error instanceof Error && 'syscall' in error;
}

/** Systems on which a folder cannot be opened as a file keep names by themselves. */
function syncFolder(path: string): void {
  if (process.platform === 'win32') return;
  const folder = openSync(path, constants.O_RDONLY);
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}
