import { randomBytes } from 'node:crypto';
import type { IncomingMessage, ServerResponse } from 'node:http';
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
 * Answers a change that another site asks for by itself.
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
  if (!isForeignChange(request, publicUrl)) return true;
  response.writeHead(403, { 'content-type': 'application/json' });
  response.end(
    JSON.stringify({
      error: { message: 'This came from a page of another site and was not done.' },
    }),
  );
  return false;
}
