import type { ApiProblem } from '../../../shared/api/problem';
import { ADDRESS_HEADER } from '../../../shared/host-key';
import { host } from '../../_door/host';
import { refusedAnswer } from '../../_door/refused';

/** The largest body that is read. Source: ours; the longest MusicXML that is taken (3 MB) with room for its escapes. */
const MAX_BODY = 4_000_000;

/** What is not, or not only, what the sender wrote has a status of its own. */
const STATUS: Readonly<Record<string, number>> = {
  'too-many-boards': 429,
  'not-kept': 503,
  'imports-busy': 503,
  restarting: 503,
  'takes-too-long': 422,
  'takes-too-much-memory': 422,
  'reading-failed': 500,
};
/** What is worth asking again soon. */
const RETRY_AFTER_SECONDS: Readonly<Record<string, number>> = { 'imports-busy': 5, restarting: 5 };

/** Makes a board from ABC, MusicXML, MIDI, a saved board or the demo: 201 with its three links, or 400 with what is wrong and where. */
export async function POST(request: Request): Promise<Response> {
  const text = await request.text();
  if (text.length > MAX_BODY)
    return refusedAnswer(413, 'This is too long for one tune. Send one tune at a time.');
  const address = request.headers.get(ADDRESS_HEADER) ?? undefined;
  const created = await host().createBoard(text, address);
  if (created.ok) return Response.json(created.value, { status: 201 });
  const [first] = created.problems;
  const status = STATUS[first?.code ?? ''] ?? 400;
  const message = created.problems.map(({ words }) => words).join(' ');
  const retryAfter = RETRY_AFTER_SECONDS[first?.code ?? ''];
  if (retryAfter !== undefined) return refusedAnswer(status, message, retryAfter);
  const error: ApiProblem['error'] = {
    message,
    ...(first?.where ? { where: first.where } : {}),
    ...(first?.offers ? { offers: first.offers } : {}),
  };
  return Response.json({ error } satisfies ApiProblem, { status });
}
