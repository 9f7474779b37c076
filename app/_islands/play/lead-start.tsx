import { useState } from 'react';
import { startedAt, withRamp } from '../../../lib/transport/change';
import { playOrder, timelineOf } from '../../../lib/tune';
import { agreedOn, roundTheCircle, writeStart } from '../../../shared/board/played';
import type { Board } from '../../../shared/board/schema';
import type { Presence } from '../../../shared/wire/presence';
import type { Session } from '../session/session';
import { BpmField, isTempo, TEMPO_HELP } from './bpm-field';
import type { Round } from './lead-round';
import { ALL_PLAY_ALL, inCircle, LeadRound } from './lead-round';

/** The leader's start: a tempo, whether it grows with every pass, and whether it goes round the circle. */
export function LeadStart({
  session,
  board,
  here,
  shown,
  passes,
}: {
  readonly session: Session;
  readonly board: Board;
  readonly here: readonly Presence[];
  readonly shown: number;
  readonly passes: number;
}) {
  const usual = board.tune.tempo;
  const [tempo, setTempo] = useState(usual);
  const [ramps, setRamps] = useState(false);
  const [step, setStep] = useState(5);
  const [to, setTo] = useState(usual + 20);
  const [round, setRound] = useState<Round>(ALL_PLAY_ALL);
  const people = inCircle(board, here, round);
  const empty = playOrder(board.tune).length === 0;
  const good =
    !empty &&
    isTempo(tempo) &&
    (round.turn === 'none' || people.length > 0) &&
    (!ramps || (isTempo(to) && step >= 1 && to > tempo));
  const start = () => {
    if (!good) return;
    const now = session.now();
    const timeline = timelineOf(board.tune);
    const started = startedAt(timeline, now, tempo, shown, passes);
    const ramp = ramps ? { step, to } : undefined;
    const played =
      round.turn === 'none' ? agreedOn(board) : roundTheCircle(board, round.turn, people);
    const transport = withRamp(started, timeline, now, ramp);
    if (transport.kind === 'playing') writeStart(session.lead, played, transport);
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
      <LeadRound board={board} here={here} round={round} change={setRound} />
      <button type="button" className="button button-first" aria-disabled={!good} onClick={start}>
        Count in and start at pass {shown}
      </button>
      {!good && (
        <p>
          {empty ? 'The tune has no measures to play yet.' : TEMPO_HELP}
          {round.turn !== 'none' && people.length === 0 && ' Somebody must be in the circle.'}
          {ramps && ' It grows by 1 or more with every pass, up to more than it starts with.'}
        </p>
      )}
    </div>
  );
}
