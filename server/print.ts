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

/**
 * Prints sheets for people without a browser of their own that can: with the machine's Chromium, where it has one, which opens the
 * sheet's page like anybody else, by a key that holds for this one print. One sheet at a time.
 */
export class PrintDesk {
  private address: string | undefined;
  private printing: Printing | undefined;

  constructor(private readonly chromium: string | undefined = findBrowser()) {}

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

  /** The sheet as a query asks for it (`app/_parts/sheet/blocks`), as PDF. @param code to stand on it */
  async print(board: BoardId, query: URLSearchParams, code?: LinkCode): Promise<PdfAnswer> {
    const { chromium, address } = this;
    if (!chromium || !address)
      return {
        ok: false,
        status: 501,
        words: 'This server has no browser to print with. Open the sheet and use your own print.',
      };
    if (this.printing)
      return {
        ok: false,
        status: 503,
        words: 'Another sheet is being printed. Try again in a few seconds.',
        retryAfterSeconds: RETRY_AFTER_SECONDS,
      };
    const key = newSecret();
    this.printing = { board, key, code };
    const wishes = new URLSearchParams(query);
    wishes.set('key', key);
    try {
      return await printed(chromium, `${address}${sheetPath(board)}?${wishes}`);
    } finally {
      this.printing = undefined;
    }
  }
}

async function printed(chromium: string, url: string): Promise<PdfAnswer> {
  const folder = await mkdtemp(join(tmpdir(), 'passround-print-'));
  const file = join(folder, 'sheet.pdf');
  // Chromium's own sandbox does not work for root; what it opens is our own page.
  const asRoot = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const profile = `--user-data-dir=${join(folder, 'profile')}`;
  const args = [...CHROMIUM_ARGS, ...asRoot, profile, `--print-to-pdf=${file}`, url];
  try {
    const code = await new Promise<number | null>((done) => {
      const child = spawn(chromium, args, { stdio: 'ignore', timeout: PATIENCE });
      child.once('error', () => done(null));
      child.once('exit', done);
    });
    if (code === 0) return { ok: true, bytes: await readFile(file) };
    return {
      ok: false,
      status: 503,
      words: 'The sheet could not be printed here. Open it and use your own print.',
    };
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}
