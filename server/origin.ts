import type { IncomingMessage } from 'node:http';
import { placeOf } from './address';

/** Is this address a page of ours, as the request reached us or as people reach us from outside? */
function isOurs(origin: string, request: IncomingMessage, publicUrl: URL | undefined): boolean {
  if (!URL.canParse(origin)) return false;
  const page = new URL(origin);
  if (page.origin === publicUrl?.origin) return true;
  // What comes under our name by plain http, anybody on the way may have written.
  const isUnsafe =
    publicUrl?.protocol === 'https:' &&
    page.protocol === 'http:' &&
    page.hostname === publicUrl.hostname;
  return !isUnsafe && page.host === request.headers.host;
}

/** A browser names the page that opens a socket; only our own may use our cookies. Other programs name none. */
export function isSameOrigin(request: IncomingMessage, publicUrl: URL | undefined): boolean {
  const { origin } = request.headers;
  return origin === undefined || isOurs(origin, request, publicUrl);
}

const ONLY_READS = ['GET', 'HEAD', 'OPTIONS'];

/**
 * Would this request change something at the wish of another site? Browsers say so in `Sec-Fetch-Site`, older ones in `Origin`. Source: W3C
 * Fetch Metadata, section 2.4; OWASP cross-site request forgery prevention, "Fetch Metadata headers".
 */
export function isForeignChange(request: IncomingMessage, publicUrl: URL | undefined): boolean {
  if (ONLY_READS.includes(request.method ?? 'GET')) return false;
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined) return site !== 'same-origin' && site !== 'none';
  return !isSameOrigin(request, publicUrl);
}

/**
 * The place that a request came from (`placeOf`), as limits count it.
 * @param proxies how many proxies of ours stand in front; each adds one entry at the end of `X-Forwarded-For`, and what is before can be invented
 */
export function addressOf(request: IncomingMessage, proxies: number): string {
  const forwarded = [request.headers['x-forwarded-for'] ?? []].flat().join(',').split(',');
  const told = proxies > 0 ? forwarded.at(-proxies) : undefined;
  // A proxy that does not say it in a way that can be read, or hides it, is itself the place.
  return placeOf(told ?? '') ?? placeOf(request.socket.remoteAddress ?? '') ?? '';
}

/** A request's path for a log: without the secrets that paths and questions may hold. */
export function pathForLog(url: string | undefined): string {
  const path = (url ?? '').split(/[?#]/)[0] ?? '';
  return path
    .replace(/^(\/join\/).*/, '$1…')
    .replaceAll(/[^\x20-\x7e…]/g, '?')
    .slice(0, 200);
}
