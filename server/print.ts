import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BoardId, Ms } from '../lib/units';
import type { LinkCode } from '../shared/api/link-code';
import { sheetPath } from '../shared/board/paths';
import type { PdfAnswer } from './host';
import { findBrowser } from './launch/chromium.mjs';
import { newSecret } from './links';
import type { Asker, Shares } from './places';
import { Places } from './places';

/** How long the browser may take for a sheet, and how long a key for it opens. */
const PATIENCE: Ms = 30_000;
const RETRY_AFTER_SECONDS = 5;

const CHROMIUM_ARGS = [
  '--headless',
  '--disable-gpu',
  '--disable-quic',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
  '--no-pdf-header-footer',
];

/** The sheet that is being printed. */
interface Printing {
  readonly board: BoardId;
  /** Opens its page. */
  readonly key: string;
  readonly code: LinkCode | undefined;
}

/** One sheet is printed at a time, and three wait for it. */
const SHEETS: Shares = { all: 4, aBoard: 2, aPerson: 1 };

/** What somebody wants printed. */
export interface PrintWish extends Asker {
  /** Which blocks, as a query asks for them (`app/_parts/sheet/blocks`). */
  readonly query: URLSearchParams;
  /** To stand on it. */
  readonly code?: LinkCode;
  /** Says when nobody waits for it any more. */
  readonly gone?: AbortSignal;
}

/** Prints what is at an address, until nobody wants it. */
export type Printer = (url: string, gone: AbortSignal) => Promise<PdfAnswer>;

/** The printer that this machine has; undefined without a browser. */
function ownPrinter(): Printer | undefined {
  const chromium = findBrowser();
  return chromium === undefined ? undefined : (url, gone) => printed(chromium, url, gone);
}

/**
 * Prints sheets for people without a browser of their own that can: with the machine's Chromium, where it has one, which opens the
 * sheet's page like anybody else, by a key that holds for this one print. One sheet at a time, in the order in which they were asked for;
 * each person has one in the line.
 */
export class PrintDesk {
  private address: string | undefined;
  private printing: Printing | undefined;
  private readonly places = new Places(SHEETS);
  /** Ends when all that were asked for are printed. */
  private line: Promise<unknown> = Promise.resolve();

  constructor(private readonly printer: Printer | undefined = ownPrinter()) {}

  /** Where the pages are, once they can be asked for. */
  openAt(address: string): void {
    this.address = address;
  }

  /** Is this the key of the sheet that is being printed? */
  opens(board: BoardId, key: string): boolean {
    return this.printing?.board === board && this.printing.key === key;
  }

  /** The code to scan that is to stand on the sheet that this key opens. */
  codeFor(board: BoardId, key: string): LinkCode | undefined {
    return this.opens(board, key) ? this.printing?.code : undefined;
  }

  /** The sheet as PDF, when its turn has come. */
  async print(wish: PrintWish): Promise<PdfAnswer> {
    const { printer, address } = this;
    if (!printer || !address)
      return {
        ok: false,
        status: 501,
        words: 'This server has no browser to print with. Open the sheet and use your own print.',
      };
    const place = this.places.take(wish);
    if (typeof place === 'string')
      return { ok: false, ...REFUSED[place], retryAfterSeconds: RETRY_AFTER_SECONDS };
    const turn = this.line.then(() => this.printNow(wish, printer, address));
    // A print that fails is told to who asked for it; the next one's turn comes all the same.
    this.line = turn.catch(() => undefined);
    try {
      return await turn;
    } finally {
      place.giveBack();
    }
  }

  private async printNow(wish: PrintWish, printer: Printer, address: string): Promise<PdfAnswer> {
    const { board, query, code, gone = new AbortController().signal } = wish;
    if (gone.aborted) return NOT_PRINTED;
    const key = newSecret();
    this.printing = { board, key, code };
    const wishes = new URLSearchParams(query);
    wishes.set('key', key);
    try {
      return await printer(`${address}${sheetPath(board)}?${wishes}`, gone);
    } finally {
      this.printing = undefined;
    }
  }
}

const REFUSED = {
  yours: {
    status: 429,
    words: 'A sheet is being printed for you already. Take the next one when it is there.',
  },
  others: {
    status: 503,
    words: 'Other sheets are being printed. Try again in a few seconds.',
  },
} as const;

const NOT_PRINTED: PdfAnswer = {
  ok: false,
  status: 503,
  words: 'The sheet could not be printed here. Open it and use your own print.',
};

async function printed(chromium: string, url: string, gone: AbortSignal): Promise<PdfAnswer> {
  const folder = await mkdtemp(join(tmpdir(), 'passround-print-'));
  const file = join(folder, 'sheet.pdf');
  // Chromium's own sandbox does not work for root; what it opens is our own page.
  const asRoot = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const profile = `--user-data-dir=${join(folder, 'profile')}`;
  const args = [...CHROMIUM_ARGS, ...asRoot, profile, `--print-to-pdf=${file}`, url];
  try {
    const code = await new Promise<number | null>((done) => {
      const child = spawn(chromium, args, { stdio: 'ignore', timeout: PATIENCE, signal: gone });
      child.once('error', () => done(null));
      child.once('exit', done);
    });
    return code === 0 ? { ok: true, bytes: await readFile(file) } : NOT_PRINTED;
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}
