import type { ChildProcess } from 'node:child_process';
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Result } from '../../lib/result';
import type { Ms } from '../../lib/units';
import type { Draft } from '../boards';
import type { CreateProblem } from '../host';
import type { ImportOrder, ImportWord } from './order';

/** How a reading ended. */
export type Reading =
  | { readonly kind: 'read'; readonly draft: Result<Draft, CreateProblem> }
  | { readonly kind: 'too-long' | 'too-much-memory' | 'let-go' }
  | { readonly kind: 'fault'; readonly words: string };

export interface ReaderOptions {
  /** The module that it runs. */
  readonly program: URL;
  /** How long a reading may take. */
  readonly patience: Ms;
  /** Largest heap, MB. */
  readonly heap: number;
}

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** How long a process may take until it begins to read; half a second on the machine this was written on. */
const START_PATIENCE: Ms = 30_000;
/** What a reading process is told of the environment: no secret, no address of a database. */
const NEEDED = ['NODE_ENV', 'TMPDIR', 'TEMP', 'TMP', 'SystemRoot'];
/** Characters of its last words that are kept. */
const LAST_WORDS = 4000;

function environment(): NodeJS.ProcessEnv {
  const needed = NEEDED.flatMap((name) => {
    const value = process.env[name];
    return value === undefined ? [] : [[name, value] as const];
  });
  return { ...Object.fromEntries(needed), NODE_ENV: process.env.NODE_ENV };
}

/**
 * A process that reads what people send, so that nobody on the boards waits for it. A process and not a thread: V8 ends the whole
 * process of a thread that wants one large piece of memory beyond its limit (a map that grows is enough; Node 20 and 22).
 */
export class ImportReader {
  private readonly child: ChildProcess;
  private readonly ended: Promise<void>;
  private ending: 'too-long' | 'let-go' | undefined;
  private lastWords = '';
  private settle: ((reading: Reading) => void) | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private gone = false;

  constructor(private readonly options: ReaderOptions) {
    const { program, heap } = options;
    this.child = fork(fileURLToPath(program), {
      cwd: ROOT,
      env: environment(),
      execArgv: [`--max-old-space-size=${heap}`, '--import', 'tsx'],
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    this.child.stderr?.on('data', (words: Buffer) => {
      this.lastWords = `${this.lastWords}${words}`.slice(-LAST_WORDS);
    });
    this.child.on('message', (word) => this.hear(word as ImportWord));
    this.ended = new Promise((done) => {
      const end = (words: string) => {
        this.gone = true;
        this.answer(this.readingAtEnd(words));
        done();
      };
      this.child.once('error', (error) => end(error.message));
      // Not `exit`: what it said last is to be heard.
      this.child.once('close', (code, signal) => end(`It ended with ${signal ?? code}.`));
    });
  }

  /** Whether nothing can be asked of it any more. */
  get isGone(): boolean {
    return this.gone || this.ending !== undefined || !this.child.connected;
  }

  /** One reading at a time. */
  read(order: ImportOrder): Promise<Reading> {
    return new Promise((settle) => {
      this.settle = settle;
      this.giveUpAfter(START_PATIENCE);
      // Where it cannot be reached its end is on the way, which answers.
      this.child.send(order, () => undefined);
    });
  }

  /** Ends it at once. */
  end(): Promise<void> {
    this.kill('let-go');
    return this.ended;
  }

  private hear(word: ImportWord): void {
    if (word.kind === 'begun') this.giveUpAfter(this.options.patience);
    else this.answer(word);
  }

  private giveUpAfter(patience: Ms): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.kill('too-long'), patience);
  }

  private kill(why: 'too-long' | 'let-go'): void {
    this.ending ??= why;
    this.child.kill('SIGKILL');
  }

  private answer(reading: Reading): void {
    clearTimeout(this.timer);
    this.settle?.(reading);
    this.settle = undefined;
  }

  private readingAtEnd(words: string): Reading {
    if (this.ending) return { kind: this.ending };
    // V8's words for it; a system that is short of memory kills without a word.
    if (this.lastWords.includes('heap out of memory') || this.child.signalCode === 'SIGKILL')
      return { kind: 'too-much-memory' };
    return { kind: 'fault', words: `${words} ${this.lastWords}`.trim() };
  }
}
