import { wavQuery } from '../../../shared/api/export-wav';
import { wavPath } from '../../../shared/board/paths';
import type { Settings } from './settings';

/** Times that a looped stretch is played on a track. */
const TIMES = 4;

function often(times: number, alternate: boolean): string {
  const heard = times === 1 ? 'once' : `${times} times`;
  return alternate ? `${heard} and as often silent for you` : heard;
}

/** The link to what is set here as a sound file. */
export function TakeAway({
  board,
  settings,
}: {
  readonly board: string;
  readonly settings: Settings;
}) {
  const { choice, loop, alternate, stepUp } = settings;
  const tempo = Math.round(settings.tempo);
  const goal = Math.round(settings.goal);
  const times = loop && !stepUp && choice.kind !== 'plan' ? TIMES : 1;
  const query = wavQuery({ ...settings, tempo, goal, times });
  return (
    <p className="flex flex-wrap items-center gap-3">
      <a className="button" href={`${wavPath(board)}?${query}`} download>
        Take it away as a sound file
      </a>
      <span className="text-soft">
        WAV, {stepUp ? `from ${tempo} to ${goal}` : `${often(times, alternate)}, at ${tempo}`} beats
        a minute
      </span>
    </p>
  );
}
