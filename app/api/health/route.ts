import { host } from '../../_door/host';

export const dynamic = 'force-dynamic';

/** Is the server well? 200 with a few figures; 503 where people are better sent to another one. */
export function GET(): Response {
  const health = host().health();
  return Response.json(health, { status: health.ok ? 200 : 503 });
}
