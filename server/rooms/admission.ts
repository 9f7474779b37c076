import type { ParticipantId } from '../../lib/units';
import type { DocumentName, Role } from '../../shared/board/roles';
import { LEAD_DOCUMENT, mayWrite, parseDocumentName } from '../../shared/board/roles';
import type { Refusal } from '../../shared/wire/refusal';

/** How open leaders have the board. */
export interface Openness {
  readonly votingOpen: boolean;
  /** Nobody but leaders changes anything. */
  readonly frozen: boolean;
  /** Ballots go to nobody but their owners. */
  readonly ballotsHeld: boolean;
}

/** What is known of a board when somebody wants to write it. */
export interface Situation extends Openness {
  readonly isKnown: (participant: ParticipantId) => boolean;
}

export interface Writer {
  readonly participant: ParticipantId;
  readonly role: Role;
}

const WORDS: Readonly<Record<Refusal['code'], string>> = {
  'not-yours': 'This was not taken: it belongs to somebody else, or your link only lets you look.',
  'voting-closed': 'This vote was not counted: the leader has closed the voting.',
  frozen:
    'The leader has frozen the board for now. What you do is kept in this browser and sent when it goes on.',
  'held-back': 'Ballots are secret until the leader closes the voting.',
  'leaders-only': 'This was not done: only somebody with the lead link can do it.',
  'nobody-there': 'This was not done: that person is not on this board, or it is you.',
  removed:
    'You are no longer on this board, and what was yours on it has been taken out. Ask its leader if that was a mistake.',
  'no-such-document': 'This was not taken: the board has no such part.',
  unreadable: 'A message from this page could not be read. Load the page again.',
  incomplete:
    'A change was not taken, because one before it is missing here. The page is asked for both.',
  'too-large': 'This was not taken: it is more than the board can hold. Take something away first.',
  'not-kept':
    'The last change could not be kept on disk, so nobody has it. Try it again in a moment.',
  deleted:
    'This board is not on the server any more. Whoever runs it deletes a board when they are asked to, or when nobody opens it for a long time. What you do here goes nowhere.',
  'too-busy':
    'Your pages sent more than this board can pass on, so this one was let go. What you did is kept here. Wait half a minute and load the page again.',
};

export function refuse(code: Refusal['code'], document?: string): Refusal {
  const words = WORDS[code];
  return document === undefined
    ? { kind: 'refused', code, words }
    : { kind: 'refused', code, document: document.slice(0, 64), words };
}

/** The document of that name if this person may see it, or why not: all that are there, but for ballots that are held back. */
export function admitReader(
  reader: Writer,
  document: string,
  situation: Situation,
): DocumentName | Refusal {
  const parsed = parseDocumentName(document);
  if (!parsed) return refuse('no-such-document', document);
  const known =
    !('owner' in parsed) || parsed.owner === reader.participant || situation.isKnown(parsed.owner);
  if (!known) return refuse('no-such-document', document);
  const held =
    parsed.kind === 'ballot' && parsed.owner !== reader.participant && situation.ballotsHeld;
  return held ? refuse('held-back', parsed.name) : parsed.name;
}

/** The document of that name if this person may write it now, or why not; what they want to write is not asked. */
export function admitWriter(
  writer: Writer,
  document: string,
  situation: Situation,
): DocumentName | Refusal {
  const name = admitReader(writer, document, situation);
  if (typeof name !== 'string')
    return name.code === 'held-back' ? refuse('not-yours', name.document) : name;
  const { role, participant } = writer;
  const mine = mayWrite(role, participant, name, situation.votingOpen);
  if (mine && situation.frozen && name !== LEAD_DOCUMENT) return refuse('frozen', name);
  if (mine) return name;
  return refuse(mayWrite(role, participant, name, true) ? 'voting-closed' : 'not-yours', name);
}
