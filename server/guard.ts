import { randomBytes } from 'node:crypto';
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { ApiProblem } from '../shared/api/problem';
import { MAX_BOARD_BODY, MAX_BODY } from './limits';
import { isForeignChange } from './origin';

export interface GuardOptions {
  readonly publicUrl: URL | undefined;
  /** Next's development server evaluates code and has a socket of its own. */
  readonly dev: boolean;
}

/**
 * What a page of ours may load and do. Scripts are our files, and inline ones with this answer's nonce; nothing is evaluated. Styles are our
 * files; `style` attributes are allowed, since drawings and marks are placed by them and a value in one runs nothing.
 * Source: W3C Content Security Policy Level 3
 */
export function contentPolicy(nonce: string, dev: boolean): string {
  return [
    "default-src 'none'",
    `script-src 'self' 'nonce-${nonce}'${dev ? " 'unsafe-eval'" : ''}`,
    `style-src 'self'${dev ? " 'unsafe-inline'" : ` 'nonce-${nonce}'`}`,
    "style-src-attr 'unsafe-inline'",
    "font-src 'self'",
    "img-src 'self' data: blob:",
    "media-src 'self' blob:",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ');
}

/** A year. Source: RFC 6797 names no least; browsers' preload lists ask for a year. */
const HSTS = 'max-age=31536000';

/**
 * Gives an answer the headers that protect our pages, and Next the nonce for its inline scripts, which it reads from the request.
 * Answers by itself a change that another site asks for, and what is too long to be read.
 * @returns whether the request is to be answered by its page
 */
export function guard(
  request: IncomingMessage,
  response: ServerResponse,
  { publicUrl, dev }: GuardOptions,
): boolean {
  const policy = contentPolicy(randomBytes(16).toString('base64'), dev);
  request.headers['content-security-policy'] = policy;
  response.setHeader('Content-Security-Policy', policy);
  response.setHeader('X-Content-Type-Options', 'nosniff');
  response.setHeader('Referrer-Policy', 'no-referrer');
  response.setHeader('Cross-Origin-Opener-Policy', 'same-origin');
  response.setHeader('Cross-Origin-Resource-Policy', 'same-origin');
  response.setHeader('Permissions-Policy', 'camera=(), geolocation=(), microphone=(self)');
  if (publicUrl?.protocol === 'https:') response.setHeader('Strict-Transport-Security', HSTS);
  request.url = inOriginForm(request.url ?? '/');
  const refusal = refusalOf(request, publicUrl);
  if (!refusal) return true;
  // What is left of a body that nobody reads is cut off with its line.
  response.writeHead(refusal.status, {
    'content-type': 'application/json',
    connection: 'close',
    // Source: RFC 9110, section 15.5.6.
    ...(refusal === NO_METHOD ? { allow: METHODS.join(', ') } : {}),
  });
  response.end(JSON.stringify({ error: { message: refusal.message } } satisfies ApiProblem));
  return false;
}

interface Unanswered {
  readonly status: number;
  readonly message: string;
}

const FOREIGN: Unanswered = {
  status: 403,
  message: 'This came from a page of another site and was not done.',
};
const TOO_LONG: Unanswered = {
  status: 413,
  message: 'This is more than is read here. Send one tune at a time.',
};
const NO_LENGTH: Unanswered = {
  status: 411,
  message: 'A request has to say how long it is (Content-Length) before it is read.',
};

const NO_METHOD: Unanswered = {
  status: 405,
  message: 'Nothing here is asked for in this way.',
};
const NO_ADDRESS: Unanswered = { status: 400, message: 'This address cannot be read.' };

/** What pages know what to do with; the router breaks on others, TRACE among them. */
const METHODS = ['GET', 'HEAD', 'OPTIONS', 'POST', 'PUT', 'PATCH', 'DELETE'];

/** A target as pages read it: path and question. A proxy may send the whole address, which a server has to take. Source: RFC 9112, section 3.2.2. */
function inOriginForm(target: string): string {
  if (target.startsWith('/') || !URL.canParse(target)) return target;
  const { pathname, search } = new URL(target);
  return `${pathname}${search}`;
}

/** Can the path be decoded? The router breaks on one that cannot. */
function isReadable(target: string): boolean {
  if (!target.startsWith('/')) return false;
  try {
    decodeURIComponent(target.split('?')[0] ?? '');
    return true;
  } catch (error) {
    if (error instanceof URIError) return false;
    throw error;
  }
}

/** Where boards are made, by the path that Next answers there. */
const MAKES_BOARDS = /^\/api\/boards\/?(\?|$)/;

/** Why no page is to answer a request. Pages read a body whole before they measure it, so its length is judged by what it says. */
function refusalOf(request: IncomingMessage, publicUrl: URL | undefined): Unanswered | undefined {
  if (!METHODS.includes(request.method ?? '')) return NO_METHOD;
  if (!isReadable(request.url ?? '')) return NO_ADDRESS;
  if (isForeignChange(request, publicUrl)) return FOREIGN;
  if (request.headers['transfer-encoding'] !== undefined) return NO_LENGTH;
  const most = MAKES_BOARDS.test(request.url ?? '') ? MAX_BOARD_BODY : MAX_BODY;
  // Node reads no more of a body than its length says, and answers a length that is no number by itself.
  return Number(request.headers['content-length'] ?? 0) > most ? TOO_LONG : undefined;
}
