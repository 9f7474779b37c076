import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { MidiProblem } from './problem';

/** A note of a track, in the file's own ticks. */
export interface FileNote {
  readonly at: number;
  readonly length: number;
  readonly midi: number;
  readonly channel: number;
}

export interface FileTrack {
  readonly name: string;
  readonly notes: readonly FileNote[];
}

/** A meter from a moment on, in the file's own ticks: "5/8". */
export interface FileMeter {
  readonly at: number;
  readonly name: string;
}

export interface MidiFile {
  /** Ticks a quarter. */
  readonly division: number;
  readonly tracks: readonly FileTrack[];
  /** Microseconds a quarter, the first that is set. */
  readonly tempo?: number;
  /** In the order of time; of several at one time the first. */
  readonly meters: readonly FileMeter[];
  readonly key?: { readonly fifths: number; readonly minor: boolean };
  readonly markers: readonly { readonly at: number; readonly text: string }[];
}

/** Longest file that is read, in bytes. */
const MAX_MIDI = 1_000_000;
const MAX_EVENTS = 200_000;
const MAX_TRACKS = 100;
/** Ticks beyond which nobody plays. */
const MAX_AT = 2 ** 31;

/** Leaves the file at the first thing that cannot be read. */
class Unreadable extends Error {
  override name = 'Unreadable';
  constructor(readonly problem: MidiProblem) {
    super(problem.words);
  }
}

function refuse(code: MidiProblem['code'], byte: number, words: string): never {
  throw new Unreadable({ code, where: { byte }, words });
}

/** Bytes in order; asking beyond their end is the file's mistake. */
class Bytes {
  constructor(
    private readonly bytes: Uint8Array,
    public at: number,
    private readonly end: number,
  ) {}

  get done(): boolean {
    return this.at >= this.end;
  }

  peek(): number {
    return this.bytes[this.at] ?? 0;
  }

  next(): number {
    if (this.done) refuse('broken-off', this.at, 'The file breaks off in the middle of an event.');
    const byte = this.bytes[this.at] ?? 0;
    this.at += 1;
    return byte;
  }

  number(size: number): number {
    let value = 0;
    for (let i = 0; i < size; i++) value = value * 256 + this.next();
    return value;
  }

  /** A variable-length quantity of at most four bytes. Source: Standard MIDI Files 1.0. */
  quantity(): number {
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const byte = this.next();
      value = value * 128 + (byte & 0x7f);
      if (byte < 0x80) return value;
    }
    return refuse('bad-event', this.at, 'A length or a time in the file has more than four bytes.');
  }

  take(size: number): Uint8Array {
    if (this.at + size > this.end)
      refuse('broken-off', this.at, 'The file breaks off in the middle of an event.');
    this.at += size;
    return this.bytes.subarray(this.at - size, this.at);
  }

  part(size: number): Bytes {
    const end = Math.min(this.at + size, this.end);
    const part = new Bytes(this.bytes, this.at, end);
    this.at = end;
    return part;
  }
}

function textOf(bytes: Uint8Array): string {
  return new TextDecoder('utf-8').decode(bytes.subarray(0, 200)).replace(/\p{C}/gu, ' ').trim();
}

/** Data bytes that follow a channel's status byte. Source: MIDI 1.0, channel voice messages. */
function dataBytes(status: number): number {
  const kind = status & 0xf0;
  return kind === 0xc0 || kind === 0xd0 ? 1 : 2;
}

/** Collects what the tracks say. */
class Reading {
  tempo: number | undefined;
  readonly meters = new Map<number, FileMeter>();
  key: MidiFile['key'];
  readonly markers: { at: number; text: string }[] = [];
  private events = 0;
  private name = '';
  private notes: FileNote[] = [];
  private readonly open = new Map<number, number[]>();

  track(bytes: Bytes): FileTrack {
    [this.name, this.notes] = ['', []];
    this.open.clear();
    let at = 0;
    let status = 0;
    while (!bytes.done) {
      at += bytes.quantity();
      this.events += 1;
      if (this.events > MAX_EVENTS || at > MAX_AT)
        refuse(
          'too-many-events',
          bytes.at,
          `The file has more than ${MAX_EVENTS} events or lasts too long.`,
        );
      if (bytes.peek() >= 0x80) status = bytes.next();
      if (status === 0xff) {
        if (this.meta(bytes, at)) break;
      } else if (status === 0xf0 || status === 0xf7) bytes.take(bytes.quantity());
      else if (status < 0x80 || status > 0xf0)
        refuse('bad-event', bytes.at, 'An event in the file is of no kind that MIDI files have.');
      else this.voice(status, bytes.take(dataBytes(status)), at);
    }
    for (const [key, starts] of this.open) for (const start of starts) this.close(key, start, at);
    return {
      name: this.name,
      notes: this.notes.toSorted((a, b) => a.at - b.at || a.midi - b.midi),
    };
  }

  private close(key: number, start: number, at: number): void {
    if (at > start)
      this.notes.push({ at: start, length: at - start, midi: key & 0x7f, channel: key >> 7 });
  }

  private voice(status: number, data: Uint8Array, at: number): void {
    const [midi = 0, velocity = 0] = data;
    const kind = status & 0xf0;
    if (kind !== 0x90 && kind !== 0x80) return;
    const key = ((status & 0x0f) << 7) | (midi & 0x7f);
    const starts = this.open.get(key) ?? [];
    this.open.set(key, starts);
    if (kind === 0x90 && velocity > 0) starts.push(at);
    else {
      // A note played again before it was let go: the first that began is the first that ends.
      const start = starts.shift();
      if (start !== undefined) this.close(key, start, at);
    }
  }

  /** A meta event; true at the end of the track. */
  private meta(bytes: Bytes, at: number): boolean {
    const type = bytes.next();
    const data = bytes.take(bytes.quantity());
    const [a = 0, b = 0, c = 0] = data;
    if (type === 0x03 && this.name === '') this.name = textOf(data);
    if (type === 0x06) this.markers.push({ at, text: textOf(data) });
    if (type === 0x51 && data.length === 3) this.tempo ??= a * 65_536 + b * 256 + c;
    if (type === 0x58 && data.length >= 2 && b < 7 && !this.meters.has(at))
      this.meters.set(at, { at, name: `${a}/${2 ** b}` });
    if (type === 0x59 && data.length === 2)
      this.key ??= { fifths: (a << 24) >> 24, minor: b === 1 };
    return type === 0x2f;
  }
}

function fileIn(bytes: Uint8Array): MidiFile {
  const all = new Bytes(bytes, 0, bytes.length);
  const isHead = bytes.length >= 14 && textOf(bytes.subarray(0, 4)) === 'MThd';
  if (!isHead) refuse('not-midi', 0, 'This is no MIDI file: it does not begin with "MThd".');
  all.take(4);
  const head = all.part(all.number(4));
  const [, , division] = [head.number(2), head.number(2), head.number(2)];
  if (division === 0 || division >= 0x8000)
    refuse(
      'no-beat',
      12,
      'The file counts seconds instead of beats, so no measures can be made of it.',
    );
  const reading = new Reading();
  const tracks: FileTrack[] = [];
  while (!all.done && tracks.length < MAX_TRACKS) {
    const name = textOf(all.take(4));
    const data = all.part(all.number(4));
    if (name === 'MTrk') tracks.push(reading.track(data));
  }
  if (tracks.length === 0) refuse('no-track', 14, 'The file has no tracks.');
  const { tempo, key, markers, meters } = reading;
  return {
    division,
    tracks,
    ...(tempo ? { tempo } : {}),
    ...(key && Math.abs(key.fifths) <= 7 ? { key } : {}),
    meters: [...meters.values()].sort((a, b) => a.at - b.at),
    markers,
  };
}

/**
 * A Standard MIDI File's notes and what it says of tempo, meter, key and parts, or the first thing that makes it none, with its byte. Time is
 * linear in the file's length.
 * Source: Standard MIDI Files 1.0.
 */
export function parseMidiFile(bytes: Uint8Array): Result<MidiFile, MidiProblem> {
  if (bytes.length > MAX_MIDI)
    return fail({
      code: 'too-long',
      where: {},
      words: `The file has ${bytes.length} bytes. At most ${MAX_MIDI} are read.`,
    });
  try {
    return ok(fileIn(bytes));
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error;
    return fail(error.problem);
  }
}
