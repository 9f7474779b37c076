import type { ApiProblem } from '../../../shared/api/problem';
import { ADDRESS_HEADER } from '../../../shared/host-key';
import { host } from '../../_door/host';

/** The largest body that is read. Source: ours; the longest MusicXML that is taken (3 MB) with room for its escapes. */
const MAX_BODY = 4_000_000;

/** What is not the sender's mistake has a status of its own. */
const STATUS: Readonly<Record<string, number>> = { 'too-many-boards': 429, 'not-kept': 503 };

function problem(status: number, error: ApiProblem['error']): Response {
  return Response.json({ error } satisfies ApiProblem, { status });
}

/** Makes a board from ABC, MusicXML, MIDI, a saved board or the demo: 201 with its three links, or 400 with what is wrong and where. */
export async function POST(request: Request): Promise<Response> {
  const text = await request.text();
  if (text.length > MAX_BODY)
    return problem(413, { message: 'This is too long for one tune. Send one tune at a time.' });
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return problem(400, { message: 'The request is not JSON. Send { "tune": { "abc": "…" } }.' });
  }
  const address = request.headers.get(ADDRESS_HEADER) ?? undefined;
  const created = await host().createBoard(body, address);
  if (created.ok) return Response.json(created.value, { status: 201 });
  const [first] = created.problems;
  return problem(STATUS[first?.code ?? ''] ?? 400, {
    message: created.problems.map(({ words }) => words).join(' '),
    ...(first?.where ? { where: first.where } : {}),
    ...(first?.offers ? { offers: first.offers } : {}),
  });
}
