import { useState } from 'react';
import type { Position, Timeline, Transport } from '../../../lib/transport';
import { startedAt, withFootUp } from '../../../lib/transport';
import { MAX_TEMPO, MIN_TEMPO } from '../../../shared/board/values';
import { writeTransport } from '../../../shared/board/write';
import type { Session } from '../session/session';

/** The leader's start, stop and foot. */
export function LeadControls({
  session,
  transport,
  timeline,
  position,
  tempo: usual,
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
  const [tempo, setTempo] = useState(usual);
  const under = position.kind === 'counting' || position.kind === 'playing';
  const good = tempo >= MIN_TEMPO && tempo <= MAX_TEMPO;
  const lifted =
    under && transport.kind === 'playing' && position.kind === 'playing'
      ? transport.lastPass === position.pass
      : false;
  const start = () =>
    good && writeTransport(session.lead, startedAt(timeline, session.now(), tempo, shown, passes));
  const stop = () => writeTransport(session.lead, { kind: 'stopped' });
  const footUp = () => writeTransport(session.lead, withFootUp(transport, timeline, session.now()));
  if (under)
    return (
      <div className="flex flex-wrap items-center gap-3">
        <button type="button" className="button button-first" onClick={stop}>
          Stop
        </button>
        <button type="button" className="button" aria-pressed={lifted} onClick={footUp}>
          Lift a foot: this is the last
        </button>
      </div>
    );
  return (
    <div className="flex flex-wrap items-end gap-3">
      <label className="grid gap-1">
        Beats a minute
        <input
          className="field w-24"
          type="number"
          min={MIN_TEMPO}
          max={MAX_TEMPO}
          value={Number.isNaN(tempo) ? '' : tempo}
          onChange={(event) => setTempo(event.target.valueAsNumber)}
        />
      </label>
      <button type="button" className="button button-first" aria-disabled={!good} onClick={start}>
        Count in and start at pass {shown}
      </button>
      {!good && (
        <p>
          Choose {MIN_TEMPO} to {MAX_TEMPO} beats a minute.
        </p>
      )}
    </div>
  );
}
