import { host } from '../../_door/host';

export const dynamic = 'force-dynamic';

/** Is the server well? 200 with a few figures. */
export function GET(): Response {
  return Response.json(host().health());
}
