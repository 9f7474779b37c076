import { createHash, createHmac, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';
import type { BoardId, ParticipantId } from '../lib/units';
import type { Role } from '../shared/board/roles';
import { isParticipantId, ROLES } from '../shared/board/roles';

const LETTERS = 'abcdefghijklmnopqrstuvwxyz0123456789';
const BOARD_ID = /^[a-z0-9]{12}$/;
/** Bytes of a link's secret: 192 bit, 32 characters. */
const SECRET_BYTES = 24;
const SECRET = /^[A-Za-z0-9_-]{22,64}$/;
/** A year, in seconds. */
const COOKIE_AGE = 365 * 24 * 60 * 60;

/** Who a browser is on a board. */
export interface Session {
  readonly participant: ParticipantId;
  readonly role: Role;
}

/** What a cookie says of its browser. */
export interface KeptSession extends Session {
  /** Tells by which link its role came; undefined in cookies of a program that did not note it. */
  readonly mark: string | undefined;
}

function randomId(length: number): string {
  return Array.from({ length }, () => LETTERS[randomInt(LETTERS.length)]).join('');
}

export function newBoardId(): BoardId {
  return randomId(12) as BoardId;
}

export function newParticipantId(): ParticipantId {
  return randomId(12) as ParticipantId;
}

export function isBoardId(value: unknown): value is BoardId {
  return typeof value === 'string' && BOARD_ID.test(value);
}

/** A link's secret, fit for a path. */
export function newSecret(): string {
  return randomBytes(SECRET_BYTES).toString('base64url');
}

/** What is kept of a secret; undefined for a text that no secret looks like. */
export function secretHash(secret: string): string | undefined {
  return SECRET.test(secret) ? createHash('sha256').update(secret).digest('hex') : undefined;
}

/**
 * What tells a link from those that it was put in the place of: the beginning of what is kept of its secret, 48 bits. It is no secret, and nobody can
 * choose it; that two links of one board have the same comes about once in 10^14 times. It needs no clock, and is the same on every node.
 */
export function linkMark(hash: string): string {
  return hash.slice(0, 12);
}

/** Are they the same? Takes as long for a near miss as for a far one. */
export function sameText(a: string, b: string): boolean {
  const left = Buffer.from(a);
  const right = Buffer.from(b);
  return left.length === right.length && timingSafeEqual(left, right);
}

/** Over https the prefix keeps other hosts and plain http from setting it. Source: RFC 6265bis, section 4.1.3.2. */
function cookieName(board: BoardId, secure: boolean): string {
  return `${secure ? '__Host-' : ''}passround_${board}`;
}

function textOf({ participant, role, mark }: KeptSession): string {
  return mark === undefined ? `${participant}.${role}` : `${participant}.${role}.${mark}`;
}

function signature(key: string, board: BoardId, session: KeptSession): string {
  return createHmac('sha256', key)
    .update(`${board}.${textOf(session)}`)
    .digest('base64url');
}

/** Value of the `Set-Cookie` header that keeps who a browser is on a board. */
export function sessionCookie(
  key: string,
  board: BoardId,
  session: KeptSession,
  secure: boolean,
): string {
  const value = `${textOf(session)}.${signature(key, board, session)}`;
  const flags = `Path=/; Max-Age=${COOKIE_AGE}; HttpOnly; SameSite=Lax${secure ? '; Secure' : ''}`;
  return `${cookieName(board, secure)}=${value}; ${flags}`;
}

/** The first cookie of that name in a `Cookie` header. */
function cookieValue(header: string, name: string): string | undefined {
  const prefix = `${name}=`;
  return header
    .split(';')
    .map((pair) => pair.trim())
    .find((pair) => pair.startsWith(prefix))
    ?.slice(prefix.length);
}

/** What the browser that sent this `Cookie` header is said to be on a board; undefined without a genuine cookie for it. */
export function sessionFromCookie(
  key: string,
  board: BoardId,
  header: string | undefined,
  secure: boolean,
): KeptSession | undefined {
  const value = header === undefined ? undefined : cookieValue(header, cookieName(board, secure));
  if (value === undefined) return undefined;
  const parts = value.split('.');
  const given = parts.pop();
  const [participant, roleText, mark, ...more] = parts;
  const role = ROLES.find((known) => known === roleText);
  if (!isParticipantId(participant) || !role || given === undefined || more.length > 0)
    return undefined;
  const session = { participant, role, mark };
  return sameText(given, signature(key, board, session)) ? session : undefined;
}
