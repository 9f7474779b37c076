import type { Result } from '../../lib/result';
import { fail } from '../../lib/result';
import type { BoardId } from '../../lib/units';
import type { Draft } from '../boards';
import type { Report } from '../failure';
import type { CreateProblem } from '../host';
import {
  IMPORT_HEAP,
  IMPORT_PATIENCE,
  MAX_IMPORTS,
  MAX_WAITING_IMPORTS,
  MAX_WAITING_TEXT,
} from '../limits';
import type { ReaderOptions, Reading } from './reader';
import { ImportReader } from './reader';

/** What reads the bodies of requests that make a board. */
export interface Imports {
  /** Has a process ready before anybody asks. */
  warm(): void;
  /** The documents of a new board, or everything that stands in the way. */
  read(board: BoardId, text: string): Promise<Result<Draft, CreateProblem>>;
  /** Ends what is being read, and answers whoever waits. */
  stop(): Promise<void>;
}

export interface ImportLimits extends ReaderOptions {
  /** Readings at a time. */
  readonly places: number;
  /** How many may wait, and how many characters of theirs. */
  readonly waiting: number;
  readonly waitingText: number;
}

const LIMITS: ImportLimits = {
  program: new URL('./program.ts', import.meta.url),
  patience: IMPORT_PATIENCE,
  heap: IMPORT_HEAP,
  places: MAX_IMPORTS,
  waiting: MAX_WAITING_IMPORTS,
  waitingText: MAX_WAITING_TEXT,
};

type Unread = Exclude<Reading, { readonly kind: 'read' }>['kind'] | 'busy';

function unread(kind: Unread, { patience }: ImportLimits): CreateProblem {
  const [code, words] = {
    busy: [
      'imports-busy',
      'Others are starting boards just now, and this server reads a few tunes at a time. Try again in a few seconds.',
    ],
    'too-long': [
      'takes-too-long',
      `This takes longer to read than the ${patience / 1000} seconds that a tune may take. Send a shorter tune, or one with fewer and longer notes.`,
    ],
    'too-much-memory': [
      'takes-too-much-memory',
      'This takes more memory to read than a tune may take. Send a shorter tune.',
    ],
    'let-go': [
      'restarting',
      'The server is just stopping or starting anew. Try again in a moment.',
    ],
    fault: [
      'reading-failed',
      'This could not be read, and that is a mistake of this program. Whoever runs this server finds in its log what happened.',
    ],
  }[kind] as [string, string];
  return { code, where: {}, words };
}

interface Waiting {
  readonly size: number;
  readonly go: (reader: ImportReader | undefined) => void;
}

/**
 * Has what people send read in processes of their own, a few at a time, within a time and a heap; the others wait in a line that has
 * an end. One process stays for the next import, since starting one takes longer than reading a tune.
 */
export class ImportDesk implements Imports {
  private readonly limits: ImportLimits;
  private readonly readers = new Set<ImportReader>();
  private idle: ImportReader[] = [];
  private readonly line: Waiting[] = [];
  private stopped = false;

  constructor(
    private readonly report: Report,
    limits: Partial<ImportLimits> = {},
  ) {
    this.limits = { ...LIMITS, ...limits };
  }

  warm(): void {
    if (this.readers.size === 0 && !this.stopped) this.idle.push(this.start());
  }

  async read(board: BoardId, text: string): Promise<Result<Draft, CreateProblem>> {
    const reader = await this.place(text.length);
    if (!(reader instanceof ImportReader)) return fail(unread(reader, this.limits));
    const reading = await reader.read({ board, text });
    this.giveBack(reader);
    if (reading.kind === 'read') return reading.draft;
    if (reading.kind === 'fault')
      this.report('What somebody sent could not be read.', new Error(reading.words));
    return fail(unread(reading.kind, this.limits));
  }

  async stop(): Promise<void> {
    this.stopped = true;
    for (const { go } of this.line.splice(0)) go(undefined);
    await Promise.all([...this.readers].map((reader) => reader.end()));
  }

  private async place(size: number): Promise<ImportReader | 'busy' | 'let-go'> {
    if (this.stopped) return 'let-go';
    const free = this.free();
    if (free) return free;
    const { waiting, waitingText } = this.limits;
    const before = this.line.reduce((sum, each) => sum + each.size, 0);
    if (this.line.length >= waiting || before + size > waitingText) return 'busy';
    const reader = await new Promise<ImportReader | undefined>((go) => {
      this.line.push({ size, go });
    });
    return reader ?? 'let-go';
  }

  /** A process that can be asked, if there is a place. */
  private free(): ImportReader | undefined {
    for (let reader = this.idle.pop(); reader; reader = this.idle.pop()) {
      if (!reader.isGone) return reader;
      this.readers.delete(reader);
    }
    return this.readers.size < this.limits.places ? this.start() : undefined;
  }

  private start(): ImportReader {
    const reader = new ImportReader(this.limits);
    this.readers.add(reader);
    return reader;
  }

  private giveBack(reader: ImportReader): void {
    if (reader.isGone) this.readers.delete(reader);
    else this.idle.push(reader);
    if (this.stopped) return;
    const next = this.line[0] && this.free();
    if (next) this.line.shift()?.go(next);
    else this.settleDown();
  }

  /** Keeps one process ready. */
  private settleDown(): void {
    for (const spare of this.idle.splice(1)) {
      this.readers.delete(spare);
      void spare.end();
    }
    this.warm();
  }
}
