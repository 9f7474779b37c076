import type { Meter } from '../../../lib/rhythm';
import type { Heard } from '../sound/player';
import type { Practice } from './use-practice';

/** Where it is, in words for eyes and ears. */
function placeWords({ settings, heard, playing }: Practice): string {
  if (!playing) return `${Math.round(settings.tempo)} beats a minute`;
  if (!heard) return 'One moment';
  const tempo = `${Math.round(heard.round.request.tempo)} beats a minute`;
  if (heard.measure === undefined) return `Counting in, ${tempo}`;
  const round = `Round ${heard.index + 1}, ${tempo}`;
  return heard.round.alone ? `${round}: yours alone` : round;
}

/** The beat to be shown, from 1; undefined before the first sound. */
function beatOf(heard: Heard | undefined, meter: Meter): number | undefined {
  return heard && (heard.beat % Math.round(meter.measure / meter.beat)) + 1;
}

/** Start and stop, where it is, and the word for a round that was not clean: always within reach of a thumb. */
export function Bar({ practice, meter }: { readonly practice: Practice; readonly meter: Meter }) {
  const { settings, lesson, playing, heard, toggle, again } = practice;
  const beat = playing && settings.counted ? beatOf(heard, meter) : undefined;
  return (
    <div className="practice-bar">
      <button
        type="button"
        className="button button-first"
        aria-disabled={lesson.length === 0}
        onClick={toggle}
      >
        {playing ? 'Stop' : 'Start'} <kbd>Space</kbd>
      </button>
      {settings.stepUp && (
        <button type="button" className="button" aria-disabled={!playing} onClick={again}>
          not clean <kbd>N</kbd>
        </button>
      )}
      <p role="status">{placeWords(practice)}</p>
      {beat !== undefined && (
        <p className="practice-beat" aria-hidden="true">
          {beat}
        </p>
      )}
    </div>
  );
}
