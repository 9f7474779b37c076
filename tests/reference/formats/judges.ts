import { readFileSync } from 'node:fs';
import {
  XmlBufferInputProvider,
  XmlDocument,
  XmlValidateError,
  XsdValidator,
  xmlRegisterInputProvider,
} from 'libxml2-wasm';
import { enableLog, enableLogToBuffer, LOG_WARNING, VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';

/** Independent judges of MusicXML: the W3C's schema by libxml2, and what verovio hears. */

const FOLDER = new URL('../../data/musicxml/', import.meta.url);
const AT = 'http://www.musicxml.org/xsd/';

function schemaFile(name: string): Buffer {
  return readFileSync(new URL(name, FOLDER));
}

/** The schema imports two others from an address on the network; both are given from the folder. */
function validatorOf(name: string): XsdValidator {
  const url = `${AT}${name}`;
  return XsdValidator.fromDoc(XmlDocument.fromBuffer(schemaFile(name), { url }));
}

xmlRegisterInputProvider(
  new XmlBufferInputProvider({
    [`${AT}xml.xsd`]: schemaFile('xml.xsd'),
    [`${AT}xlink.xsd`]: schemaFile('xlink.xsd'),
  }),
);
const scores = validatorOf('musicxml.xsd');

/** Everything in which the text is no MusicXML 4.0 by the W3C's schema; empty for a valid one. @throws XmlParseError for no XML */
export function schemaProblems(xml: string): readonly string[] {
  const document = XmlDocument.fromString(xml);
  try {
    scores.validate(document);
    return [];
  } catch (error) {
    if (!(error instanceof XmlValidateError)) throw error;
    return error.details.map(({ message, line }) => `line ${line}: ${message}`);
  } finally {
    document.dispose();
  }
}

/** A note that is heard: start and length in quarters, MIDI number. */
export type Heard = readonly [start: number, length: number, midi: number];

export interface Hearing {
  readonly notes: readonly Heard[];
  readonly log: string;
}

const verovio = await createVerovioModule();
enableLog(LOG_WARNING, verovio);
enableLogToBuffer(true, verovio);

/**
 * The text as verovio can judge it: a five-string banjo's tab staff is taken for Italian lute tablature (courses upside down), so it is
 * read as a treble staff; chords under an arpeggio sound late, so they go without; a second staff that is not to be played is played, so only
 * one is kept. Nothing of this touches pitch or duration.
 */
export function asTreble(xml: string, staff?: 1 | 2): string {
  const treble = xml
    .replace(/<sign>TAB<\/sign>\s*<line>5<\/line>/g, '<sign>G</sign><line>2</line>')
    .replace(/<staff-details[\s\S]*?<\/staff-details>/g, '')
    .replace(/<arpeggiate[^>]*\/>/g, '');
  if (staff === undefined) return treble;
  const kept = new RegExp(`<staff>${staff}</staff>`);
  return treble
    .replace(/<(note|direction)\b[^>]*>[\s\S]*?<\/\1>/g, (all) =>
      /<staff>/.test(all) && !kept.test(all) ? '' : all,
    )
    .replace(/<backup>[\s\S]*?<\/backup>/g, '')
    .replace(/<staves>2<\/staves>/, '')
    .replace(/<clef number="2">[\s\S]*?<\/clef>/, '')
    .replaceAll('<staff>2</staff>', '')
    .replaceAll('<staff>1</staff>', '');
}

/** What verovio hears with repeats and endings played out, by start, then pitch, and what it complained about. */
export function heardByVerovio(xml: string): Hearing {
  const toolkit = new VerovioToolkit(verovio);
  toolkit.setOptions({ expandAlways: true });
  if (!toolkit.loadData(xml)) return { notes: [], log: `not loaded: ${toolkit.getLog()}` };
  const log = toolkit.getLog();
  const starts = new Map<string, number>();
  const notes: Heard[] = [];
  for (const { qstamp, on = [], off = [] } of toolkit.renderToTimemap()) {
    for (const id of off) {
      const start = starts.get(id);
      const { pitch } = toolkit.getMIDIValuesForElement(id);
      if (start !== undefined && pitch > 0) notes.push([start, qstamp - start, pitch]);
    }
    for (const id of on) starts.set(id, qstamp);
  }
  notes.sort((a, b) => a[0] - b[0] || a[2] - b[2]);
  return { notes, log };
}
