import type { ParticipantId } from '../../lib/units';
import type { Role } from '../../shared/board/roles';
import type { Company } from './company';
import type { Party } from './connection';
import type { LiveDocuments } from './documents';

/** Who belongs to a board, who does no more, and for whom there is a place. */
export class People {
  /**
   * @param contain does something, and gives the room up where that brings a fault to light
   * @param commit hands what has changed to the log and to everybody
   */
  constructor(
    private readonly documents: LiveDocuments,
    private readonly company: Company,
    private readonly contain: <T>(work: () => T) => T | undefined,
    private readonly commit: () => void,
  ) {}

  /** Does the house know them? */
  isKnown(participant: ParticipantId): boolean {
    return this.documents.isKnown(participant);
  }

  /** The role that the house knows them in; undefined for somebody unknown. */
  roleOf(participant: ParticipantId): Role | undefined {
    return this.documents.roleOf(participant);
  }

  /** Was this person taken out of the board? */
  isGone(participant: ParticipantId): boolean {
    return this.documents.isGone(participant);
  }

  /** May this browser not come back at all? */
  isSentAway(participant: ParticipantId): boolean {
    return this.documents.isSentAway(participant);
  }

  /** Is there a place for them? Who came, said nothing and went again makes room for others. */
  hasPlaceFor(party: Party): boolean {
    const { documents, company } = this;
    if (party.role === 'watch' || documents.hasPlaceFor(party)) return true;
    this.contain(() => {
      for (const participant of documents.silent)
        if (!company.isHere(participant)) documents.forgetIfSilent(participant);
      this.commit();
    });
    return documents.hasPlaceFor(party);
  }

  /** Forgets somebody who came by mistake, if they have said nothing. */
  forgetIfSilent(participant: ParticipantId): void {
    this.contain(() => {
      if (this.documents.forgetIfSilent(participant)) this.commit();
    });
  }
}
