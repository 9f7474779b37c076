import type { ParticipantId } from '../../lib/units';
import type { DocumentName, Role } from '../../shared/board/roles';
import { mayWrite, parseDocumentName } from '../../shared/board/roles';
import type { Refusal } from '../../shared/wire/refusal';

/** What is known of a board when somebody wants to write it. */
export interface Situation {
  readonly isKnown: (participant: ParticipantId) => boolean;
  readonly votingOpen: boolean;
}

export interface Writer {
  readonly participant: ParticipantId;
  readonly role: Role;
}

const WORDS: Readonly<Record<Refusal['code'], string>> = {
  'not-yours': 'This was not taken: it belongs to somebody else, or your link only lets you look.',
  'voting-closed': 'This vote was not counted: the leader has closed the voting.',
  'no-such-document': 'This was not taken: the board has no such part.',
  unreadable: 'A message from this page could not be read. Load the page again.',
  incomplete: 'A change was not taken, because one before it is missing. Load the page again.',
  'too-large': 'This was not taken: it is more than the board can hold. Take something away first.',
  'not-kept':
    'The last change could not be kept on disk, so nobody has it. Try it again in a moment.',
};

export function refuse(code: Refusal['code'], document?: string): Refusal {
  const words = WORDS[code];
  return document === undefined
    ? { kind: 'refused', code, words }
    : { kind: 'refused', code, document: document.slice(0, 64), words };
}

/** The document of that name if this person may see it, or why not. Everybody may see every document that is there. */
export function admitReader(
  reader: Writer,
  document: string,
  situation: Situation,
): DocumentName | Refusal {
  const parsed = parseDocumentName(document);
  if (!parsed) return refuse('no-such-document', document);
  const known =
    !('owner' in parsed) || parsed.owner === reader.participant || situation.isKnown(parsed.owner);
  return known ? parsed.name : refuse('no-such-document', document);
}

/** The document of that name if this person may write it now, or why not; what they want to write is not asked. */
export function admitWriter(
  writer: Writer,
  document: string,
  situation: Situation,
): DocumentName | Refusal {
  const name = admitReader(writer, document, situation);
  if (typeof name !== 'string') return name;
  const { role, participant } = writer;
  if (mayWrite(role, participant, name, situation.votingOpen)) return name;
  return refuse(mayWrite(role, participant, name, true) ? 'voting-closed' : 'not-yours', name);
}
