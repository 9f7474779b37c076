import { host } from '../../_door/host';

export const dynamic = 'force-dynamic';

/** What the server counts about itself, for a Prometheus server to collect. */
export function GET(): Response {
  return new Response(host().metrics(), {
    headers: { 'content-type': 'text/plain; version=0.0.4; charset=utf-8' },
  });
}
