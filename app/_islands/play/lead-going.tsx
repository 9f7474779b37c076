import { useId, useState } from 'react';
import {
  withFootDown,
  withFootUp,
  withGoOn,
  withJump,
  withPause,
  withRepeat,
  withTempo,
} from '../../../lib/transport/change';
import { legAt } from '../../../lib/transport/place';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Playing, Position, Transport } from '../../../lib/transport/transport';
import { writeTransport } from '../../../shared/board/write';
import type { Session } from '../session/session';
import { BpmField, isTempo, TEMPO_HELP } from './bpm-field';

/** What a leader can do while it goes on. Every button replaces the whole transport. */
export function LeadGoing({
  session,
  transport,
  timeline,
  position,
  passes,
}: {
  readonly session: Session;
  readonly transport: Playing;
  readonly timeline: Timeline;
  readonly position: Exclude<Position, { kind: 'stopped' | 'ended' }>;
  readonly passes: number;
}) {
  const leg = legAt(transport.legs, session.now()) ?? transport.legs[0];
  const coming = transport.legs.at(-1);
  const lifted = transport.lastPass === position.pass && !coming?.repeats;
  const repeats = coming?.repeats === true;
  const press = (next: Transport) => writeTransport(session.lead, next);
  const now = session.now;
  const foot = () =>
    press(
      lifted && position.pass < passes
        ? withFootDown(transport, passes)
        : withFootUp(transport, timeline, now()),
    );
  return (
    <div className="grid gap-2">
      <div className="flex flex-wrap items-center gap-3">
        <button
          type="button"
          className="button button-first"
          onClick={() => press({ kind: 'stopped' })}
        >
          Stop
        </button>
        {coming?.kind === 'rest' ? (
          <button
            type="button"
            className="button"
            aria-disabled={position.kind !== 'paused'}
            onClick={() => press(withGoOn(transport, timeline, now()))}
          >
            Go on
          </button>
        ) : (
          <button
            type="button"
            className="button"
            onClick={() => press(withPause(transport, timeline, now()))}
          >
            Wait after this measure
          </button>
        )}
        <button type="button" className="button" aria-pressed={lifted} onClick={foot}>
          Lift a foot: this is the last
        </button>
        <button
          type="button"
          className="button"
          aria-pressed={repeats}
          onClick={() => press(withRepeat(transport, timeline, now(), !repeats))}
        >
          Keep this pass
        </button>
      </div>
      <details>
        <summary>Another tempo, another pass</summary>
        <Turns
          tempo={leg?.tempo ?? 0}
          passes={passes}
          pace={(bpm) => press(withTempo(transport, timeline, now(), bpm))}
          jump={(pass) => press(withJump(transport, timeline, now(), pass))}
        />
      </details>
    </div>
  );
}

/** A new tempo from the next measure on, and which pass comes after this one. */
function Turns({
  tempo,
  passes,
  pace,
  jump,
}: {
  readonly tempo: number;
  readonly passes: number;
  readonly pace: (bpm: number) => void;
  readonly jump: (pass: number) => void;
}) {
  const [bpm, setBpm] = useState(tempo);
  const [pass, setPass] = useState(1);
  const select = useId();
  const good = isTempo(bpm);
  return (
    <div className="flex flex-wrap items-end gap-3 pt-2">
      <BpmField label="Beats a minute" value={bpm} change={setBpm} />
      <button
        type="button"
        className="button"
        aria-disabled={!good}
        onClick={() => good && pace(bpm)}
      >
        From the next measure
      </button>
      {!good && <p>{TEMPO_HELP}</p>}
      <div className="grid gap-1">
        <label htmlFor={select}>Pass</label>
        <select
          id={select}
          className="field"
          value={pass}
          onChange={(event) => setPass(Number(event.target.value))}
        >
          {Array.from({ length: passes }, (_, i) => i + 1).map((number) => (
            <option key={number} value={number}>
              {number}
            </option>
          ))}
        </select>
      </div>
      <button type="button" className="button" onClick={() => jump(pass)}>
        Comes next
      </button>
    </div>
  );
}
