import qrcode from 'qrcode-generator';
import type { Problem, Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { LinkCode } from '../shared/api/link-code';
import { MAX_LINK } from '../shared/api/link-code';
import type { Role } from '../shared/board/roles';

export type LinkCodeProblem = Problem<
  'no-link' | 'unknown-link' | 'leads',
  Readonly<Record<string, never>>
>;

/** What a link is known to open, if anything. */
export interface KnownLink {
  readonly board: string;
  readonly role: Role;
}

/** White modules around the code. Source: ISO/IEC 18004, quiet zone of a QR code. */
const QUIET = 4;

const WORDS: Readonly<Record<LinkCodeProblem['code'], string>> = {
  'no-link':
    'This is no link. It looks like https://…/join/… and comes from whoever started the board.',
  'unknown-link': 'This link does not open this board. It may have been made new since.',
  leads:
    'This is the link for leaders: whoever scans it could change everything. Take the join or the watch link.',
};

function refused(code: LinkCodeProblem['code']): Result<never, LinkCodeProblem> {
  return fail({ code, where: {}, words: WORDS[code] });
}

/** Runs of dark modules of each row as one path, in modules from the corner of the quiet zone. */
function darkPath(size: number, isDark: (row: number, column: number) => boolean): string {
  const rows = Array.from({ length: size }, (_, row) => {
    const cells = Array.from({ length: size }, (__, column) => (isDark(row, column) ? '1' : '0'));
    return [...cells.join('').matchAll(/1+/g)]
      .map((run) => `M${QUIET + run.index} ${QUIET + row}h${run[0].length}v1h-${run[0].length}z`)
      .join('');
  });
  return rows.join('');
}

/**
 * A text as a QR code: its size with the quiet zone, in modules, and its dark modules as SVG path data. Error correction M: 15 % of it may
 * be spoilt, as paper is. Source: ISO/IEC 18004, by qrcode-generator.
 * @param text of ASCII
 */
export function drawnCode(text: string): Pick<LinkCode, 'size' | 'dark'> {
  const code = qrcode(0, 'M');
  code.addData(text);
  code.make();
  const count = code.getModuleCount();
  const dark = darkPath(count, (row, column) => code.isDark(row, column));
  return { size: count + 2 * QUIET, dark };
}

/**
 * A board's join or watch link as a code to scan, for whoever has the link itself: the server keeps no links, only their fingerprints.
 * The leader's link is never drawn.
 * @param link a whole address
 * @param publicUrl where people reach us, if the operator has said so; else the address is as given
 */
export async function linkCode(
  board: string,
  link: string,
  publicUrl: URL | undefined,
  find: (secret: string) => Promise<KnownLink | undefined>,
): Promise<Result<LinkCode, LinkCodeProblem>> {
  const given = link.length <= MAX_LINK && URL.canParse(link) ? new URL(link) : undefined;
  const secret = /^\/join\/([\w-]+)$/.exec(given?.pathname ?? '')?.[1];
  if (!given || !/^https?:$/.test(given.protocol) || secret === undefined)
    return refused('no-link');
  const known = await find(secret);
  if (known?.board !== board) return refused('unknown-link');
  if (known.role === 'lead') return refused('leads');
  const address = new URL(given.pathname, publicUrl?.origin ?? given.origin).href;
  return ok({ role: known.role, address, ...drawnCode(address) });
}
