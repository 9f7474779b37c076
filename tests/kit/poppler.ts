import { spawnSync } from 'node:child_process';
import { expect, test } from '@playwright/test';

/** What poppler's programs say of a PDF: an independent reader of what was printed. */

function poppler(program: string, args: readonly string[], pdf: Uint8Array): Buffer {
  const { status, stdout, stderr } = spawnSync(program, [...args], {
    input: pdf,
    maxBuffer: 500_000_000,
  });
  if (status !== 0) throw new Error(`${program} failed: ${stderr}`);
  return stdout;
}

/**
 * Tests that need poppler. Where it is not installed they are skipped and say so; where the run has said that it must be there
 * (PASSROUND_POPPLER=required, as tests/run sets it after it installed it), that is a failure.
 */
export function withPoppler(body: () => void): void {
  const isHere = ['pdftotext', 'pdftoppm'].every((name) => spawnSync(name, ['-v']).status === 0);
  if (process.env.PASSROUND_POPPLER === 'required')
    test('poppler is installed where these tests must run', () => expect(isHere).toBe(true));
  if (isHere) test.describe('as poppler sees it', body);
  else
    test.skip('nothing of this could run, because poppler is not installed here', () => undefined);
}

/** The text of a PDF as it reads, with one space for any space. */
export function textOf(pdf: Uint8Array): string {
  return poppler('pdftotext', ['-', '-'], pdf).toString('utf8').replace(/\s+/g, ' ');
}

/** A page as a picture. */
export interface PageImage {
  readonly width: number;
  readonly height: number;
  /** Red, green and blue of each pixel, row by row. */
  readonly rgb: Uint8Array;
}

/** Dots of a page image in a millimetre. */
export const DOTS = 8;

/** The pages of a PDF as pictures, `DOTS` a millimetre. */
export function pagesOf(pdf: Uint8Array): readonly PageImage[] {
  const all = poppler('pdftoppm', ['-r', String(DOTS * 25.4), '-'], pdf);
  const pages: PageImage[] = [];
  // Source: the PPM format: "P6", width, height, 255, one white space, then the bytes; one picture after the other.
  for (let from = 0; from < all.length; ) {
    const head = /^P6\s(\d+)\s(\d+)\s255\s/.exec(all.toString('latin1', from, from + 40));
    if (!head) throw new Error('this is no PPM');
    const [width, height] = [Number(head[1]), Number(head[2])];
    const start = from + head[0].length;
    from = start + width * height * 3;
    pages.push({ width, height, rgb: all.subarray(start, from) });
  }
  return pages;
}
