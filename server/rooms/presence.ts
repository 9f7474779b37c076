import * as decoding from 'lib0/decoding';
import type { ParticipantId } from '../../lib/units';
import type { AwarenessEntry } from '../../shared/wire/awareness';
import { awarenessUpdate } from '../../shared/wire/awareness';
import type { Presence } from '../../shared/wire/presence';
import { parsePresence } from '../../shared/wire/presence';
import type { Refusal } from '../../shared/wire/refusal';
import { MAX_CLIENTS_A_SOCKET, MAX_CLOCK, MAX_PRESENCE } from '../limits';

/** One entry of an awareness update. Source: y-protocols, awareness.js, encodeAwarenessUpdate */
interface Entry {
  readonly client: number;
  readonly clock: number;
  /** undefined: gone. */
  readonly presence: Presence | undefined;
}

interface Held extends Entry {
  /** A socket of this server, or the id of another server. */
  readonly owner: object | string;
  readonly participant: ParticipantId;
}

export type PresenceFault = Extract<Refusal['code'], 'unreadable' | 'not-yours'>;

/** null is somebody who goes, an empty object what a provider sends before its page has said who it is. */
function saysNothing(state: unknown): boolean {
  return state === null || (typeof state === 'object' && Object.keys(state).length === 0);
}

function readEntry(decoder: decoding.Decoder): Entry | undefined {
  const client = decoding.readVarUint(decoder);
  const clock = decoding.readVarUint(decoder);
  const state: unknown = JSON.parse(decoding.readVarString(decoder));
  const presence = parsePresence(state);
  if (clock > MAX_CLOCK || (!presence && !saysNothing(state))) return undefined;
  return { client, clock, presence };
}

function readEntries(bytes: Uint8Array): readonly Entry[] | undefined {
  if (bytes.length > MAX_PRESENCE) return undefined;
  const decoder = decoding.createDecoder(bytes);
  try {
    const entries: Entry[] = [];
    for (let left = decoding.readVarUint(decoder); left > 0; left -= 1) {
      const entry = readEntry(decoder);
      if (!entry) return undefined;
      entries.push(entry);
    }
    return decoding.hasContent(decoder) ? undefined : entries;
  } catch (error) {
    // lib0 throws plain errors on bytes that end early, JSON.parse a SyntaxError.
    if (error instanceof Error) return undefined;
    throw error;
  }
}

/**
 * Who is here and what they look at, by awareness client. Holds only states that were read, fit their shape and speak for their own
 * sender; what is passed on is written anew from them. `owner` is a socket.
 */
export class PresenceTable {
  private readonly held = new Map<number, Held>();

  /** What is news in an awareness update, or why nothing of it counts. */
  take(
    owner: object,
    participant: ParticipantId,
    bytes: Uint8Array,
  ): { readonly news: readonly AwarenessEntry[] } | { readonly fault: PresenceFault } {
    const read = readEntries(bytes);
    if (!read) return { fault: 'unreadable' };
    // The y-websocket provider sends back what it has just heard of others; that is no attempt to speak for them, and counts for nothing.
    const entries = read.filter((entry) => this.isOwn(entry, owner, participant));
    const clients = new Set([...this.clientsOf(owner), ...entries.map(({ client }) => client)]);
    if (clients.size > MAX_CLIENTS_A_SOCKET) return { fault: 'not-yours' };
    const news = entries.filter((entry) => this.isNews(entry));
    for (const entry of news) {
      if (entry.presence) this.held.set(entry.client, { ...entry, owner, participant });
      else this.held.delete(entry.client);
    }
    return { news };
  }

  /** Takes what another server has read of its own sockets; what of it is news. */
  hear(server: string, bytes: Uint8Array): readonly AwarenessEntry[] {
    const news = (readEntries(bytes) ?? []).filter((entry) => this.isNewsOf(entry, server));
    for (const entry of news) {
      const { client, presence } = entry;
      if (presence)
        this.held.set(client, { ...entry, owner: server, participant: presence.participant });
      else this.held.delete(client);
    }
    return news;
  }

  /** The states of this server's own sockets, for another server. */
  own(): Uint8Array | undefined {
    const own = [...this.held.values()].filter(({ owner }) => typeof owner !== 'string');
    return own.length > 0 ? awarenessUpdate(own) : undefined;
  }

  isHere(participant: ParticipantId): boolean {
    return [...this.held.values()].some((held) => held.participant === participant);
  }

  /** Forgets a socket's states, or another server's; what tells the others. */
  leave(owner: object | string): readonly AwarenessEntry[] {
    const gone = [...this.held.values()].filter((held) => held.owner === owner);
    for (const { client } of gone) this.held.delete(client);
    return gone.map(({ client, clock }) => ({ client, clock, presence: undefined }));
  }

  /** Everybody who is here, for a newcomer. */
  all(): Uint8Array | undefined {
    return this.held.size > 0 ? awarenessUpdate([...this.held.values()]) : undefined;
  }

  /** A client is its sender's unless another socket holds it; the same person's new socket takes it over from the old. */
  private isOwn({ client, presence }: Entry, owner: object, participant: ParticipantId): boolean {
    if (presence && presence.participant !== participant) return false;
    const held = this.held.get(client);
    return held === undefined || held.owner === owner || held.participant === participant;
  }

  /** Another server says that somebody left only of those whom it has. */
  private isNewsOf(entry: Entry, server: string): boolean {
    if (!this.isNews(entry)) return false;
    return entry.presence !== undefined || this.held.get(entry.client)?.owner === server;
  }

  private isNews({ client, clock, presence }: Entry): boolean {
    const held = this.held.get(client);
    if (!held) return presence !== undefined;
    return clock > held.clock || (clock === held.clock && presence === undefined);
  }

  private clientsOf(owner: object): readonly number[] {
    return [...this.held.values()].flatMap((held) => (held.owner === owner ? [held.client] : []));
  }
}
