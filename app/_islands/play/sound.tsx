import { useEffect, useRef, useState } from 'react';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import { Click } from './click';

/** Where the level starts: low. */
const FIRST_LEVEL = 0.3;

/** The click from this browser's speaker, if one wants it. */
export function Sound({
  transport,
  timeline,
  now,
}: {
  readonly transport: Transport;
  readonly timeline: Timeline;
  readonly now: () => Ms;
}) {
  const click = useRef<Click>(undefined);
  const [on, setOn] = useState(false);
  const [level, setLevel] = useState(FIRST_LEVEL);
  useEffect(() => {
    if (on) click.current?.follow(transport);
  }, [on, transport]);
  useEffect(() => () => void click.current?.end(), []);
  const toggle = async () => {
    if (on) {
      await click.current?.end();
      click.current = undefined;
    } else {
      click.current = new Click(now, timeline, level);
      await click.current.wake();
    }
    setOn(!on);
  };
  return (
    <div className="play-sound flex flex-wrap items-center gap-3">
      <button type="button" className="button" aria-pressed={on} onClick={toggle}>
        {on ? 'click is on' : 'hear the click'}
      </button>
      <label className="flex items-center gap-2">
        how loud
        <input
          type="range"
          min={0}
          max={1}
          step={0.05}
          value={level}
          onChange={(event) => {
            const next = event.target.valueAsNumber;
            setLevel(next);
            click.current?.setLevel(next);
          }}
        />
      </label>
    </div>
  );
}
