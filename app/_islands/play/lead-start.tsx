import { useState } from 'react';
import { startedAt, withRamp } from '../../../lib/transport/change';
import type { Timeline } from '../../../lib/transport/timeline';
import { writeTransport } from '../../../shared/board/write';
import type { Session } from '../session/session';
import { BpmField, isTempo, TEMPO_HELP } from './bpm-field';

/** The leader's start: a tempo, and whether it grows with every pass. */
export function LeadStart({
  session,
  timeline,
  tempo: usual,
  shown,
  passes,
}: {
  readonly session: Session;
  readonly timeline: Timeline;
  readonly tempo: number;
  readonly shown: number;
  readonly passes: number;
}) {
  const [tempo, setTempo] = useState(usual);
  const [ramps, setRamps] = useState(false);
  const [step, setStep] = useState(5);
  const [to, setTo] = useState(usual + 20);
  const good = isTempo(tempo) && (!ramps || (isTempo(to) && step >= 1 && to > tempo));
  const start = () => {
    if (!good) return;
    const now = session.now();
    const started = startedAt(timeline, now, tempo, shown, passes);
    const ramp = ramps ? { step, to } : undefined;
    writeTransport(session.lead, withRamp(started, timeline, now, ramp));
  };
  return (
    <div className="flex flex-wrap items-end gap-3">
      <BpmField label="Beats a minute" value={tempo} change={setTempo} />
      <label className="flex min-h-target items-center gap-2">
        <input
          type="checkbox"
          checked={ramps}
          onChange={(event) => setRamps(event.target.checked)}
        />
        faster with every pass
      </label>
      {ramps && <BpmField label="by" value={step} change={setStep} min={1} />}
      {ramps && <BpmField label="up to" value={to} change={setTo} />}
      <button type="button" className="button button-first" aria-disabled={!good} onClick={start}>
        Count in and start at pass {shown}
      </button>
      {!good && (
        <p>
          {TEMPO_HELP}
          {ramps && ' It grows by 1 or more with every pass, up to more than it starts with.'}
        </p>
      )}
    </div>
  );
}
