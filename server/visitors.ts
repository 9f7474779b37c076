import type { BoardId, ParticipantId } from '../lib/units';
import type { Role } from '../shared/board/roles';
import { higherRole, lowerRole } from '../shared/board/roles';
import type { Visitor } from './host';
import type { KeptSession } from './links';
import { isBoardId, linkMark, newParticipantId, secretHash, sessionFromCookie } from './links';
import type { Party } from './rooms/connection';
import type { People } from './rooms/people';
import type { Rooms } from './rooms/rooms';
import type { Store } from './store/store';
import { StoreError } from './store/store';

/** Somebody at the door: what their links give them, and what only the house can say. */
export interface Caller {
  readonly participant: ParticipantId;
  /** Came with a cookie. */
  readonly returns: boolean;
  /** The role that a present link gives them. */
  readonly role: Role | undefined;
  /** The role of a cookie that was made before the present link of that role: it counts as far as the house knows them in it. */
  readonly claimed: Role | undefined;
}

/** On the board (or never off it), gone by their own wish, or sent away. */
export type Stay = 'here' | 'gone' | 'sent-away';

/** Somebody whom the house was asked about. */
export interface Met {
  readonly stay: Stay;
  /** Who they count as; undefined for nobody. Who is gone counts as who they were, so that they are told. */
  readonly party: Party | undefined;
}

/** Who this caller counts as where these people are known; undefined for nobody. */
export function partyFor(people: People, caller: Caller): Party | undefined {
  const { participant, returns, role, claimed } = caller;
  const known = people.isGone(participant) ? claimed : people.roleOf(participant);
  const byHouse = claimed && known && lowerRole(claimed, known);
  const counts = role && byHouse ? higherRole(role, byHouse) : (role ?? byHouse);
  return counts && { participant, role: counts, returns };
}

function meet(people: People, caller: Caller): Met {
  const { participant } = caller;
  const away = people.isGone(participant) ? 'gone' : 'here';
  const stay = people.isSentAway(participant) ? 'sent-away' : away;
  return { stay, party: partyFor(people, caller) };
}

/** Is there something by which they may come in, whatever the house says? */
function hasWayIn({ role, claimed }: Caller): boolean {
  return role !== undefined || claimed !== undefined;
}

export interface VisitorsWorld {
  readonly store: Pick<Store, 'findLink' | 'presentLink'>;
  readonly rooms: Pick<Rooms, 'ask' | 'inMemory'>;
  /** Signs cookies. */
  readonly secret: string;
  /** Whether cookies are for https alone. */
  readonly secure: boolean;
}

/** Who comes to a board, by cookie and by the secrets of links. */
export class Visitors {
  constructor(private readonly world: VisitorsWorld) {}

  /** What a genuine cookie says, whether it counts or not. */
  cookieOf(board: BoardId, cookieHeader: string | undefined): KeptSession | undefined {
    if (!isBoardId(board)) return undefined;
    const { secret, secure } = this.world;
    return sessionFromCookie(secret, board, cookieHeader, secure);
  }

  /** What a link's secret opens, with its mark; undefined for one that opens nothing any more. */
  async linkOf(secret: string) {
    const hash = secretHash(secret);
    const link = hash === undefined ? undefined : await this.world.store.findLink(hash);
    return link && hash !== undefined ? { ...link, mark: linkMark(hash) } : undefined;
  }

  /** The mark of the link that a board has for this role; undefined if there is no such board. */
  async markOf(board: BoardId, role: Role): Promise<string | undefined> {
    const hash = await this.world.store.presentLink(board, role);
    return hash === undefined ? undefined : linkMark(hash);
  }

  /**
   * Who asks for a board, as far as it is known without the board. A cookie says who it is, and the secret of a link can raise the role; a
   * secret alone makes somebody new, for that one socket or request.
   * @returns undefined for nobody
   */
  async callerOf(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<Caller | undefined> {
    const caller = await this.anyCallerOf(board, cookieHeader, key);
    return caller && hasWayIn(caller) ? caller : undefined;
  }

  /** Who asks for a board, and what its house says of them; undefined for nobody and where there is no such board. */
  async meet(
    board: BoardId,
    cookieHeader: string | undefined,
    key?: string,
  ): Promise<Met | undefined> {
    const caller = await this.anyCallerOf(board, cookieHeader, key);
    return caller && this.world.rooms.ask(board, ({ people }) => meet(people, caller));
  }

  /** May they read this board? Yes where there is none: whoever reads it says so. */
  async mayRead(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<boolean> {
    const caller = await this.callerOf(board, cookieHeader, key);
    if (!caller) return false;
    const met = await this.world.rooms.ask(board, ({ people }) => meet(people, caller));
    return met === undefined || (met.stay === 'here' && met.party !== undefined);
  }

  /** Who this browser is on a board, as far as its cookie counts. The house is asked only where the link has been made new since. */
  async visitorOf(board: BoardId, cookieHeader: string | undefined): Promise<Visitor | undefined> {
    const caller = await this.callerOf(board, cookieHeader, undefined);
    if (!caller) return undefined;
    const { participant, role, claimed } = caller;
    if (role) return { participant, role };
    const met = await this.world.rooms.ask(board, ({ people }) => meet(people, caller));
    // Where there is no such board any more they are who they were, so that they are told.
    const counts = met ? met.party?.role : claimed;
    return counts && { participant, role: counts };
  }

  /**
   * The mark of the present link for the role of a cookie. While the store does not answer, whoever a board in memory knows needs none: a renewed
   * link changes nothing for them.
   * @throws StoreError if it does not answer, and nobody here knows them
   */
  private async presentMark(
    board: BoardId,
    { participant, role }: KeptSession,
  ): Promise<string | undefined | 'not told'> {
    try {
      return await this.markOf(board, role);
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      const room = await this.world.rooms.inMemory(board);
      if (room?.people.roleOf(participant) === undefined) throw error;
      return 'not told';
    }
  }

  private async anyCallerOf(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<Caller | undefined> {
    const session = this.cookieOf(board, cookieHeader);
    const link = key === undefined ? undefined : await this.linkOf(key);
    const role = link?.board === board ? link.role : undefined;
    if (!session)
      return role && { participant: newParticipantId(), returns: false, role, claimed: undefined };
    const { participant } = session;
    const present = await this.presentMark(board, session);
    if (present === 'not told') return { participant, returns: true, role, claimed: session.role };
    if (present !== undefined && present === session.mark) {
      const higher = role ? higherRole(session.role, role) : session.role;
      return { participant, returns: true, role: higher, claimed: undefined };
    }
    // The house knows no watchers, so it need not be asked; a board that is not there is told by its room.
    const isAsked = session.role !== 'watch' || present === undefined;
    return { participant, returns: true, role, claimed: isAsked ? session.role : undefined };
  }
}
