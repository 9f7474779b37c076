import 'server-only';
import { headers } from 'next/headers';
import type { Host } from '../../server/host';
import { HOST_KEY } from '../../shared/host-key';

/**
 * The live rooms, for pages. Next bundles what its pages import, so the rooms exist once only because they are reached through the
 * one global that the server's entry sets (DEVELOPERS.md, "One process").
 * @throws Error if the pages run without our server (a mistake in how it was started)
 */
export function host(): Host {
  const found = (globalThis as { [HOST_KEY]?: Host })[HOST_KEY];
  if (!found) throw new Error('the pages run without the server: start it with npm start');
  return found;
}

/** The visitor's cookie header, as it came. */
export async function cookieHeader(): Promise<string | undefined> {
  return (await headers()).get('cookie') ?? undefined;
}
