import { Unzip, UnzipInflate } from 'fflate';
import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { MusicXmlProblem } from './problem';
import { START } from './problem';
import { childOf, childrenOf, MAX_XML, readXml } from './xml';

/** Largest compressed file that is opened, in bytes. */
const MAX_MXL = 2_000_000;
/** Bytes that are fed at a time: deflate makes at most some 1,032 of each. */
const STEP = 4096;
const MAX_FILES = 50;
const CONTAINER = 'META-INF/container.xml';

function notZip(words: string): Result<never, MusicXmlProblem> {
  return fail({ code: 'not-zip', where: START, words });
}

export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b;
}

/** Unpacks until a limit is passed; nothing of what a zip says of its own sizes is believed. */
function filesIn(bytes: Uint8Array): ReadonlyMap<string, Uint8Array> | 'too-large' | 'broken' {
  const files = new Map<string, Uint8Array[]>();
  let size = 0;
  let broken = false;
  const unzip = new Unzip((file) => {
    const pieces: Uint8Array[] = [];
    if (files.size < MAX_FILES && /\.(xml|musicxml)$/i.test(file.name)) {
      files.set(file.name, pieces);
      file.ondata = (error, data) => {
        if (error) broken = true;
        else {
          size += data.length;
          if (size <= MAX_XML) pieces.push(data.slice());
        }
      };
      file.start();
    }
  });
  unzip.register(UnzipInflate);
  try {
    for (let at = 0; at < bytes.length && size <= MAX_XML && !broken; at += STEP)
      unzip.push(bytes.subarray(at, at + STEP), at + STEP >= bytes.length);
  } catch (error) {
    // fflate throws what it cannot unpack; whatever it is, the file is no zip that can be read.
    if (!(error instanceof Error)) throw error;
    return 'broken';
  }
  if (broken) return 'broken';
  return size > MAX_XML
    ? 'too-large'
    : new Map([...files].map(([name, pieces]) => [name, joined(pieces)]));
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/**
 * Bytes of a text file as text, by their byte order mark or else as UTF-8; undefined if they are no text.
 */
export function textFrom(bytes: Uint8Array): string | undefined {
  const little = bytes[0] === 0xff && bytes[1] === 0xfe;
  const big = bytes[0] === 0xfe && bytes[1] === 0xff;
  const encoding = little ? 'utf-16le' : big ? 'utf-16be' : 'utf-8';
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return undefined;
  }
}

/**
 * The score in a compressed MusicXML file (.mxl), as text.
 * Source: MusicXML 4.0, compressed files: META-INF/container.xml names the score as its first rootfile.
 */
export function scoreInMxl(bytes: Uint8Array): Result<string, MusicXmlProblem> {
  if (bytes.length > MAX_MXL)
    return notZip(`The compressed file has ${bytes.length} bytes. At most ${MAX_MXL} are opened.`);
  const files = filesIn(bytes);
  if (files === 'too-large')
    return notZip(`Unpacked, the file has more than ${MAX_XML} characters. It was not opened.`);
  if (files === 'broken') return notZip('The compressed file is damaged and cannot be unpacked.');
  const container = files.get(CONTAINER);
  const text = container && textFrom(container);
  const tree = text === undefined ? undefined : readXml(text);
  const roots = tree?.ok ? childOf(tree.value, 'rootfiles') : undefined;
  const [root] = roots ? childrenOf(roots, 'rootfile') : [];
  const score = files.get(root?.attributes.get('full-path') ?? '');
  const words = score && textFrom(score);
  if (words === undefined)
    return notZip(`There is no score in the compressed file: its ${CONTAINER} names none.`);
  return ok(words);
}
