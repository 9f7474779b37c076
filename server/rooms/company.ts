import type { ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, HOUSE_DOCUMENT, parseDocumentName } from '../../shared/board/roles';
import type { AwarenessEntry } from '../../shared/wire/awareness';
import { awarenessUpdate } from '../../shared/wire/awareness';
import { awarenessFrame, queryAwarenessFrame, syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import { CLOSE } from '../limits';
import type { LoggedUpdate } from '../store/store';
import { refuse } from './admission';
import type { Connection, Purpose } from './connection';
import type { Framed } from './framed';
import { framedOnce } from './framed';
import { Gathering } from './gathering';
import type { PresenceFault } from './presence';
import { PresenceTable } from './presence';

/** What is late: writing what our own people did, or reading what others did. */
export type Lateness = 'writing' | 'reading';

/** Why a socket to a board that was deleted is closed. */
export const DELETED = 'the board was deleted';

/** Who is in a room: its sockets, and what they and the sockets of other servers say of themselves. */
export class Company implements Iterable<Connection> {
  private readonly connections = new Set<Connection>();
  private readonly presence = new PresenceTable();
  private readonly late = new Set<Lateness>();
  private readonly gathering = new Gathering((all, own) =>
    this.contain(() => this.passPresence(all, own)),
  );

  /**
   * @param tellOthers tells other servers what one of our own sockets has said of itself
   * @param contain does what nobody has asked for just then, so that a fault in it ends this room alone
   */
  constructor(
    private readonly tellOthers: (presence: Uint8Array) => void,
    private readonly contain: (work: () => void) => void,
  ) {}

  [Symbol.iterator](): IterableIterator<Connection> {
    return this.connections.values();
  }

  /** The sockets that have the whole board, or those that only follow what is played. */
  *for(purpose: Purpose): Generator<Connection> {
    for (const connection of this.connections) if (connection.purpose === purpose) yield connection;
  }

  get size(): number {
    return this.connections.size;
  }

  add(connection: Connection): void {
    this.connections.add(connection);
  }

  leave(connection: Connection): void {
    if (this.connections.delete(connection))
      this.gathering.add(this.presence.leave(connection), true);
  }

  /** Tells at once what is still to be told of who is here. */
  end(): void {
    this.gathering.passNow();
  }

  /** Is somebody here, on this server or another? */
  isHere(participant: ParticipantId): boolean {
    if (this.presence.isHere(participant)) return true;
    for (const connection of this.connections)
      if (connection.participant === participant) return true;
    return false;
  }

  /** Ends all sockets of somebody who was taken out. */
  sendAwayAll(participant: ParticipantId): void {
    for (const connection of this.connections)
      if (connection.participant === participant) this.sendAway(connection);
  }

  sendAway(connection: Connection): void {
    this.leave(connection);
    connection.say(refuse('removed'));
    connection.close(CLOSE.removed, 'you are no longer on this board');
  }

  /** Tells everybody that the last change could not be kept, and ends their sockets. */
  endAll(): void {
    for (const connection of this.connections) {
      connection.say(refuse('not-kept'));
      this.turnAway(connection);
    }
  }

  /** Tells everybody that there is no such board any more, and ends their sockets. */
  endDeleted(): void {
    for (const connection of this.connections) {
      connection.say(refuse('deleted'));
      connection.close(CLOSE.deleted, DELETED);
    }
  }

  /** Ends the socket of somebody who came to what could not be kept. */
  turnAway(connection: Connection): void {
    connection.close(CLOSE.notKept, 'the last change could not be kept');
  }

  /** Sends changes to everybody who has the whole board but the one they came from; what the house wrote to all. */
  forward(news: readonly News[], isGone: (participant: ParticipantId) => boolean): void {
    for (const { framed, owner, except, only } of news) {
      if (owner && isGone(owner)) continue;
      for (const connection of this.for('board'))
        if (connection !== except && (!only || connection.participant === only))
          connection.pass(framed);
    }
  }

  /** Takes what a socket says of itself, and tells everybody; why not, if nothing of it counts. */
  takePresence(connection: Connection, bytes: Uint8Array): PresenceFault | undefined {
    const taken = this.presence.take(connection, connection.participant, bytes);
    if ('fault' in taken) return taken.fault;
    this.gathering.add(taken.news, true);
    return undefined;
  }

  /** Tells everybody when what they do is late in being kept, and when it is not any more. */
  tellLate(what: Lateness, isLate: boolean): void {
    const before = this.late.size > 0;
    if (isLate) this.late.add(what);
    else this.late.delete(what);
    const late = this.late.size > 0;
    if (late === before) return;
    for (const connection of this.connections) connection.say({ kind: 'keeping', late });
  }

  /** Tells a newcomer that it is late, if it is. */
  tellIfLate(connection: Connection): void {
    if (this.late.size > 0) connection.say({ kind: 'keeping', late: true });
  }

  /** Tells a newcomer who is here. */
  tellPresence(connection: Connection): void {
    const here = this.presence.all();
    if (here) connection.send(awarenessFrame(here));
  }

  /** Has every socket say itself anew, for others who took them for gone. */
  askPresence(): void {
    for (const connection of this.connections) connection.send(queryAwarenessFrame());
  }

  /** What our own sockets say of themselves, for another server. */
  presenceHere(): Uint8Array | undefined {
    return this.presence.own();
  }

  hearPresence(server: string, bytes: Uint8Array): void {
    this.gathering.add(this.presence.hear(server, bytes), false);
  }

  /** The people of another server are gone. */
  forgetServer(server: string): void {
    this.gathering.add(this.presence.leave(server), false);
  }

  private passPresence(all: readonly AwarenessEntry[], own: readonly AwarenessEntry[]): void {
    const framed = framedOnce(awarenessFrame(awarenessUpdate(all)));
    for (const connection of this.for('board')) connection.pass(framed);
    if (own.length > 0) this.tellOthers(awarenessUpdate(own));
  }
}

/** A change as it goes out. */
export interface News {
  readonly framed: Framed;
  readonly owner: ParticipantId | undefined;
  readonly except: Connection | undefined;
  /** Whom alone it is for. */
  readonly only: ParticipantId | undefined;
}

/**
 * Changes made ready to be sent, which can be done while the disk works.
 * @param held whether a ballot goes to its owner alone
 */
export function newsOf(
  changes: readonly LoggedUpdate[],
  origin: Connection | undefined,
  held: boolean,
): readonly News[] {
  return changes.map(({ document, update }) => {
    const owner = ownerOf(document);
    return {
      framed: framedOnce(syncFrame(document, SYNC.update, update)),
      owner,
      except: document === HOUSE_DOCUMENT ? undefined : origin,
      only: held && owner && document === ballotOf(owner) ? owner : undefined,
    };
  });
}

function ownerOf(document: DocumentName): ParticipantId | undefined {
  const parsed = parseDocumentName(document);
  return parsed && 'owner' in parsed ? parsed.owner : undefined;
}
