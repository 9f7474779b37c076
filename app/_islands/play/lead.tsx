import type { Timeline } from '../../../lib/transport/timeline';
import type { Position, Transport } from '../../../lib/transport/transport';
import type { Session } from '../session/session';
import { LeadGoing } from './lead-going';
import { LeadStart } from './lead-start';

/** What a leader can do: start while nobody plays, and everything else while they do. */
export function LeadControls({
  session,
  transport,
  timeline,
  position,
  tempo,
  shown,
  passes,
}: {
  readonly session: Session;
  readonly transport: Transport;
  readonly timeline: Timeline;
  readonly position: Position;
  readonly tempo: number;
  readonly shown: number;
  readonly passes: number;
}) {
  if (transport.kind === 'stopped' || position.kind === 'stopped' || position.kind === 'ended')
    return (
      <LeadStart
        session={session}
        timeline={timeline}
        tempo={tempo}
        shown={shown}
        passes={passes}
      />
    );
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
