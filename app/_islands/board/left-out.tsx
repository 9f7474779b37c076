import { MAX_LEFT_OUT } from '../../../shared/board/read';
import { parseDocumentName } from '../../../shared/board/roles';
import type { Board, LeftOut as Problem } from '../../../shared/board/schema';

function unreadWords(count: number): string {
  if (count === 1) return 'One thing on this board could not be read and is left out.';
  const things = count < MAX_LEFT_OUT ? `${count} things` : `${MAX_LEFT_OUT} things or more`;
  return `${things} on this board could not be read and are left out.`;
}

/** Whose document it is, as the others know them. */
function ownerOf({ people }: Pick<Board, 'people'>, { where }: Problem): string {
  const parsed = parseDocumentName(where.document);
  const owner = parsed && 'owner' in parsed ? parsed.owner : undefined;
  return people.find(({ id }) => id === owner)?.name || 'Somebody without a name';
}

/** What stands on the board and is not shown: what cannot be read, and what is more than counts. */
export function LeftOut({ board }: { readonly board: Board }) {
  const uncounted = board.leftOut.filter(({ code }) => code === 'too-many');
  const unread = board.leftOut.length - uncounted.length;
  return (
    <>
      {unread > 0 && <p className="text-soft">{unreadWords(unread)}</p>}
      {uncounted.map((one) => (
        <p key={one.where.document} className="text-soft">
          {ownerOf(board, one)}: {one.words}
        </p>
      ))}
    </>
  );
}
