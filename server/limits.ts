import type { Ms } from '../lib/units';

/** What one person or one board may take up. Source of all numbers: ours, from the sizes named beside them. */

const KB = 1024;
const MB = 1024 * KB;

/** Largest message that is read, bytes. A measure's strokes take about 1 kB, a whole tune 60 kB. */
export const MAX_MESSAGE = 256 * KB;
/** A message above this closes the socket before it is in memory; between the two it is refused in words. */
export const MAX_PAYLOAD = MB;
/** Largest state of one document, bytes: some thirty tunes' worth. */
export const MAX_DOCUMENT = 2 * MB;
/**
 * Keys of one person's document, those that were deleted, too: names, proposals, claims, approvals. Each is looked at whenever the board is read, and two megabytes
 * hold ninety thousand of them; a workshop of a hundred people with a dozen variants each gives somebody a thousand to approve.
 */
export const MAX_KEYS = 4096;
/** Largest sum of a board's documents, bytes: sixteen full ones, or three hundred people with a hundred kB each. */
export const MAX_BOARD = 32 * MB;
/** How deep values and shared types may nest. The board's own values nest six deep; thousands overflow the stack. */
export const MAX_DEPTH = 32;
/** Largest clock of a writer in a document; above 2^53 a state vector could no longer be read. */
export const MAX_CLOCK = 2 ** 31;
/** Comparisons that it may take to put a document together (`rooms/rivalry.ts`): some tenths of a second. Two leaders who edit a whole tune side by side cause some ten thousand. */
export const MAX_RIVALRY = 1_000_000;
/** People whom a board remembers: a large workshop, several times over. */
export const MAX_PEOPLE = 300;
/** Proposals of one person whose order of arrival is noted; later ones count as last. */
export const MAX_ARRIVALS = 1000;
/** Places of those that only leaders take: so strangers never fill a board up. */
export const LEADER_PLACES = 20;
/**
 * Sockets on one board: everybody on two devices. Leaders, and the first page of whoever is already in, find room beyond it, where there are
 * as many again.
 */
export const MAX_SOCKETS_A_BOARD = 2 * MAX_PEOPLE;
/** Sockets of one person on a board: every page of it in a dozen tabs, not so many that nobody else finds a place. */
export const MAX_SOCKETS_A_PERSON = 24;
/** Sockets from one address on one board, of which the same hold: a class of forty with seven pages each, and no more than half the board. */
export const MAX_SOCKETS_AN_ADDRESS_A_BOARD = MAX_SOCKETS_A_BOARD / 2;
/** Students who are new on one board, from one address in an hour: a class of forty, three times over, and no more than half the board. */
export const NEWCOMERS_AN_HOUR = MAX_PEOPLE / 2;
/** Sockets from one address: a hall behind one router, or all of them behind one proxy. */
export const MAX_SOCKETS_AN_ADDRESS = 2000;
/**
 * Sockets of leaders on one board from one address that has as many as it may: two leaders with every page open. Counted by the board, so
 * that nobody who leads boards of their own takes the places of others.
 */
export const MAX_LEADING_BEYOND = 2 * MAX_SOCKETS_A_PERSON;
/** Bytes that wait for a slow reader before their socket is cut: everything a full board sends a newcomer, with room. */
export const MAX_WAITING = 16 * MB;
/** Largest awareness update, bytes: a state is about 60, and a provider sends a full board's (300 people) back to a newcomer's server. */
export const MAX_PRESENCE = 64 * KB;
/** Awareness clients a socket: the page's own, and the one it had before it was reloaded. */
export const MAX_CLIENTS_A_SOCKET = 2;
/** Messages that a socket may send at once, and a second from then on. A busy page sends some ten a second. */
export const MESSAGE_BURST = 2000;
export const MESSAGES_A_SECOND = 200;
/** A long message, and a long answer that was asked for, count as one message more for each so many bytes. A whole tune (60 kB) counts 15, a full document 512. */
export const BYTES_A_MESSAGE = 4 * KB;
/**
 * Sends that one person's changes may cause at once, and a second from then on: a change costs one for each other page that hears of it. Before a hundred
 * others somebody may make 600 changes at once and sixty a second; a send takes some 6 µs, so nobody takes more than a twentieth of a processor for long.
 */
export const SPREAD_BURST = 60_000;
export const SPREAD_A_SECOND = 6000;
/** So often in that while what pages say of themselves goes out at once; what comes after that, at its end. */
export const PRESENCE_AT_ONCE = 3;
export const PRESENCE_WINDOW: Ms = 100;
/** How often a socket is asked whether it is still there. */
export const PING_EVERY: Ms = 30_000;
/** How long a board stays in memory after the last one has left. */
export const ROOM_LINGER: Ms = 20_000;
/** How long a server that stops waits for browsers to close their sockets. */
export const CLOSE_PATIENCE: Ms = 1000;
/** Largest body of a request that makes a board, bytes: the longest score (3 MB), its escapes and letters of two bytes. */
export const MAX_BOARD_BODY = 8 * MB;
/** Largest body of any other request, bytes: a code, a link, the wishes of a sheet. */
export const MAX_BODY = 16 * KB;
/**
 * Largest head of a request, bytes. A browser sends one cookie of some 110 bytes for each board that it has been to, and keeps up to 180 of a
 * site: Node's own limit (16 kB) would shut out for a year whoever has many.
 */
export const MAX_HEADER = 32 * KB;
/** Bodies of requests that make a board that are read at a time, each in a process of its own. */
export const MAX_IMPORTS = 2;
/** How long one may be read: eight times what 250 measures of sixty-fourths take on the machine this was written on. */
export const IMPORT_PATIENCE: Ms = 20_000;
/** Largest heap for reading one, MB; a million characters of ABC in one measure take more than 256. */
export const IMPORT_HEAP = 512;
/** Bodies that wait to be read: a class that starts boards all at once, twice over. */
export const MAX_WAITING_IMPORTS = 60;
/** Characters of all bodies that wait: three of the longest. */
export const MAX_WAITING_TEXT = 12_000_000;
/** Boards that one address may make in an hour: a teacher with many classes. */
export const BOARDS_AN_HOUR = 60;
export const HOUR: Ms = 3_600_000;
/** How long a code for a second browser opens. */
export const CODE_LIFE: Ms = 10 * 60_000;
/**
 * Wrong codes from one address within that time: a class that types badly. It spares the server work; what keeps codes from being guessed
 * is their length (`codes.ts`), so nobody can lock a board's codes for others.
 */
export const MAX_CODE_TRIES = 100;
/** How often a board that is being worked on is kept as it is, to be looked at and returned to. */
export const POINT_EVERY: Ms = 10 * 60_000;
/** Kept points of one board: a term of weekly workshops with what was agreed in each. */
export const MAX_POINTS = 60;
/** Largest sum of a board's kept points, bytes; the newest one and what was agreed last stay whatever their size. */
export const MAX_POINTS_SIZE = 16 * MB;
/** How long a write or a look into the database may take before people are told that it is late. */
export const LATE_AFTER: Ms = 2000;
/** How long a server may be without its database before it says that it is not well: longer than a restart takes. */
export const UNWELL_AFTER: Ms = 6000;
/** Updates after which a document's log is replaced by one snapshot. */
export const COMPACT_AFTER = 500;

/** Why the server closes a socket. Source: y-websocket 3.1 gives up on 4400 to 4499 and tries again after any other. */
export const CLOSE = {
  /** The server stops. Source: RFC 6455 and its registry, "service restart". */
  restart: 1012,
  /** Taken out of the board, by a leader or by oneself. */
  removed: 4403,
  /** The board was deleted. */
  deleted: 4404,
  tooManyMessages: 4429,
  notKept: 4500,
} as const;
