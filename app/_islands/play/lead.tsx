import { isUnderWay } from '../../../lib/transport/place';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Position, Transport } from '../../../lib/transport/transport';
import type { Board } from '../../../shared/board/schema';
import type { Presence } from '../../../shared/wire/presence';
import type { Session } from '../session/session';
import { LeadGoing } from './lead-going';
import { LeadStart } from './lead-start';

/** What a leader can do: start while nobody plays, and everything else while they do. */
export function LeadControls({
  session,
  transport,
  timeline,
  position,
  board,
  here,
  shown,
  passes,
}: {
  readonly session: Session;
  readonly transport: Transport;
  readonly timeline: Timeline;
  readonly position: Position;
  readonly board: Board;
  readonly here: readonly Presence[];
  readonly shown: number;
  readonly passes: number;
}) {
  if (transport.kind === 'stopped' || !isUnderWay(position))
    return <LeadStart session={session} board={board} here={here} shown={shown} passes={passes} />;
  return (
    <LeadGoing
      session={session}
      transport={transport}
      timeline={timeline}
      position={position}
      passes={passes}
    />
  );
}
