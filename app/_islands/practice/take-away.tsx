import { wavQuery } from '../../../shared/api/export-wav';
import { wavPath } from '../../../shared/board/paths';
import type { Settings } from './settings';

/** Times that a looped stretch is played on a track. */
const TIMES = 4;

/** The link to what is set here as a sound file. */
export function TakeAway({
  board,
  settings,
}: {
  readonly board: string;
  readonly settings: Settings;
}) {
  const { choice, stretch, leadIn, swing, click, loop } = settings;
  const tempo = Math.round(settings.tempo);
  const times = loop && !(choice.kind === 'plan') ? TIMES : 1;
  const query = wavQuery({ choice, stretch, tempo, count: leadIn, swing, click, times });
  return (
    <p className="flex flex-wrap items-center gap-3">
      <a className="button" href={`${wavPath(board)}?${query}`} download>
        Take it away as a sound file
      </a>
      <span className="text-soft">
        WAV, {times === 1 ? 'once' : `${times} times`}, at {tempo} beats a minute
      </span>
    </p>
  );
}
