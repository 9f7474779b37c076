import type { BoardId, ParticipantId } from '../../lib/units';
import { assertNever } from '../../lib/units';
import type { Role } from '../../shared/board/roles';
import type { Refusal } from '../../shared/wire/refusal';
import { StoreError } from '../store/store';
import type { Act } from './acts';
import { admitAct } from './acts';
import { refuse } from './admission';
import type { Company } from './company';
import type { Connection } from './connection';
import type { LiveDocuments } from './documents';
import type { History } from './history';
import type { RoomLog } from './log';
import type { RoomWorld } from './world';

/** The parts of a room that acts change. */
export interface ActingRoom {
  readonly documents: LiveDocuments;
  readonly company: Company;
  readonly log: RoomLog;
  readonly history: Pick<History, 'hear'>;
  /** Hands what has changed to the log and to everybody. */
  readonly commit: () => void;
  /** Ends this room, and nothing else, for a fault of ours. */
  readonly giveUp: (error: unknown) => void;
}

/** What a room does for people that only the server can do. */
export class Acting {
  constructor(
    private readonly board: BoardId,
    private readonly world: RoomWorld,
    private readonly room: ActingRoom,
  ) {}

  /** Does it, or says why not. */
  take(connection: Connection, act: Act): Refusal | undefined {
    const refusal = admitAct(connection, act, {
      isKnown: (participant) =>
        this.room.documents.isKnown(participant) || this.room.company.isHere(participant),
      isSentAway: (participant) => this.room.documents.isSentAway(participant),
    });
    if (refusal) return refusal;
    switch (act.kind) {
      case 'remove-person':
        this.takeOut(act.participant, false);
        return undefined;
      case 'take-out-mine':
        this.takeOut(connection.participant, true);
        return undefined;
      case 'let-back':
        this.room.documents.letBack(act.participant);
        this.room.commit();
        return undefined;
      case 'ask-code':
        void this.giveCode(connection);
        return undefined;
      case 'renew-link':
        void this.renewLink(connection, act.role);
        return undefined;
      default:
        return assertNever(act);
    }
  }

  /** Takes somebody out with everything that is theirs, and ends their sockets. */
  private takeOut(participant: ParticipantId, back: boolean): void {
    this.room.documents.takeOut(participant, this.world.now(), back);
    // That the plan lost what was theirs is no new agreement.
    this.room.history.hear();
    this.forgetCodes(participant);
    this.room.commit();
    this.room.company.sendAwayAll(participant);
  }

  /** A code that is left over opens the board to nobody: whoever is gone stays gone. */
  private forgetCodes(participant: ParticipantId): void {
    this.world
      .forgetCodes(this.board, participant)
      .catch((error: unknown) =>
        this.world.report(`Codes of board ${this.board} could not be forgotten.`, error),
      );
  }

  private async giveCode(connection: Connection): Promise<void> {
    const { participant, role } = connection;
    try {
      const given = await this.world.giveCode(this.board, { participant, role });
      connection.say({ kind: 'code', ...given });
    } catch (error) {
      this.world.report(`A code of board ${this.board} could not be given.`, error);
      connection.say(refuse('not-kept'));
    }
  }

  private async renewLink(connection: Connection, role: Role): Promise<void> {
    try {
      const path = await this.world.renewLink(this.board, role);
      this.room.documents.noteRenewed(role, this.world.now());
      this.room.commit();
      this.room.log.whenKept(() => connection.say({ kind: 'new-link', role, path }));
    } catch (error) {
      if (!(error instanceof StoreError)) return this.room.giveUp(error);
      this.world.report(`A link of board ${this.board} could not be made new.`, error);
      connection.say(refuse('not-kept'));
    }
  }
}
