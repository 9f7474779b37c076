import * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import type { DocumentName } from './roles';
import { ballotOf, HOUSE_DOCUMENT, LEAD_DOCUMENT, parseDocumentName, saidBy } from './roles';

/** The family of documents that make a board, as far as they are here. */
export interface BoardDocuments {
  readonly lead: Y.Doc;
  readonly house: Y.Doc;
  readonly said: ReadonlyMap<ParticipantId, Y.Doc>;
  readonly ballots: ReadonlyMap<ParticipantId, Y.Doc>;
}

/** A board's documents by name; one that was not there is made empty on first mention. */
export class DocumentFamily implements BoardDocuments {
  readonly said = new Map<ParticipantId, Y.Doc>();
  readonly ballots = new Map<ParticipantId, Y.Doc>();

  constructor(
    readonly lead: Y.Doc = new Y.Doc(),
    readonly house: Y.Doc = new Y.Doc(),
  ) {}

  /** @throws RangeError if no document is called that (names from outside go through `parseDocumentName` first) */
  open(name: DocumentName): Y.Doc {
    const parsed = parseDocumentName(name);
    if (!parsed) throw new RangeError(`no document is called ${name}`);
    if (parsed.kind === 'lead') return this.lead;
    if (parsed.kind === 'house') return this.house;
    const shelf = parsed.kind === 'said' ? this.said : this.ballots;
    const there = shelf.get(parsed.owner);
    if (there) return there;
    const made = new Y.Doc();
    shelf.set(parsed.owner, made);
    return made;
  }

  find(name: DocumentName): Y.Doc | undefined {
    const parsed = parseDocumentName(name);
    if (!parsed) return undefined;
    if (parsed.kind === 'lead') return this.lead;
    if (parsed.kind === 'house') return this.house;
    return (parsed.kind === 'said' ? this.said : this.ballots).get(parsed.owner);
  }

  /** Lets go of a document of one participant; the next `open` makes it anew. */
  forget(name: DocumentName): void {
    const parsed = parseDocumentName(name);
    if (parsed?.kind === 'said') this.said.delete(parsed.owner);
    if (parsed?.kind === 'ballot') this.ballots.delete(parsed.owner);
  }

  names(): readonly DocumentName[] {
    return [
      LEAD_DOCUMENT,
      HOUSE_DOCUMENT,
      ...[...this.said.keys()].map(saidBy),
      ...[...this.ballots.keys()].map(ballotOf),
    ];
  }
}
