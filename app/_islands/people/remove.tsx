import { useEffect, useState } from 'react';
import type { ParticipantId } from '../../../lib/units';
import { isParticipantId } from '../../../shared/board/roles';
import type { Session } from '../session/session';

/** How long a removal can be taken back before it is sent; after that nothing is left to bring back. */
const SECONDS_TO_UNDO = 8;

/** Removing waits a few seconds in which it can be taken back: what is removed cannot be brought back, by nobody. */
export function Remove({
  name,
  ids,
  session,
}: {
  readonly name: string;
  /** Everybody who is counted as them. */
  readonly ids: readonly ParticipantId[];
  readonly session: Session;
}) {
  const [left, setLeft] = useState<number>();
  // As a text, since a list would be a new one at every change of the board and the seconds would begin again.
  const all = ids.join(' ');
  useEffect(() => {
    if (left === undefined) return undefined;
    if (left === 0) {
      for (const participant of all.split(' ').filter(isParticipantId))
        session.act({ kind: 'remove-person', participant });
      setLeft(undefined);
      return undefined;
    }
    const timer = setTimeout(() => setLeft(left - 1), 1000);
    return () => clearTimeout(timer);
  }, [left, all, session]);
  if (left === undefined)
    return (
      <button
        type="button"
        className="button button-small"
        onClick={() => setLeft(SECONDS_TO_UNDO)}
      >
        <span>
          take out <span className="sr-only">{name}, with variants and votes</span>
        </span>
      </button>
    );
  return (
    <span className="flex flex-wrap items-center gap-2" role="status">
      {name} goes, with variants and votes, in {left} s.
      <button
        type="button"
        className="button button-small button-first"
        onClick={() => setLeft(undefined)}
      >
        <span>
          Keep <span className="sr-only">{name}</span>
        </span>
      </button>
    </span>
  );
}
