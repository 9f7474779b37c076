import { useId, useMemo, useState } from 'react';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import type { Music } from './heard';
import { useFollower } from './use-follower';
import type { NamedPlayed } from './use-music';
import { useMusic } from './use-music';
import type { Wish } from './wish';
import { isHeard, SILENT } from './wish';

const MUSIC: readonly (readonly [Wish['music'], string])[] = [
  ['none', 'no music'],
  ['plain', 'the plain tune'],
  ['pass', 'the pass itself'],
];
const LEAD: readonly (readonly [Wish['lead'], string])[] = [
  ['count', 'a count'],
  ['potatoes', 'four potatoes'],
  ['none', 'nothing'],
];

/** What one hears from this browser's own speaker while everybody plays: a click, music, both or none. */
export function Sound({
  board,
  transport,
  going,
  own,
  timeline,
  connected,
  now,
}: {
  readonly board: string;
  readonly transport: Transport;
  /** The name of what is played. */
  readonly going: string;
  /** What is played, where this page has it anyway. */
  readonly own: NamedPlayed | undefined;
  readonly timeline: Timeline;
  readonly connected: boolean;
  readonly now: () => Ms;
}) {
  const id = useId();
  const [wish, setWish] = useState(SILENT);
  const played = useMusic(board, going, isHeard(wish), connected, own);
  const music = useMemo<Music>(
    () => ({ timeline, ...(played ? { played } : {}) }),
    [timeline, played],
  );
  const { wake, levels, change, silence } = useFollower(transport, music, now, wish);
  const want = (next: Wish) => {
    setWish(next);
    void wake(next);
  };
  return (
    <section className="play-sound" aria-label="What you hear">
      <button
        type="button"
        className="button"
        aria-pressed={wish.click}
        onClick={() => want({ ...wish, click: !wish.click })}
      >
        {wish.click ? 'click is on' : 'hear the click'}
      </button>
      <span>
        <label htmlFor={`${id}-music`}>hear</label>{' '}
        <select
          id={`${id}-music`}
          className="field"
          value={wish.music}
          onChange={({ target: { value } }) => {
            const music = MUSIC.find(([name]) => name === value)?.[0];
            if (music) want({ ...wish, music });
          }}
        >
          {MUSIC.map(([name, words]) => (
            <option key={name} value={name}>
              {words}
            </option>
          ))}
        </select>
      </span>
      {isHeard(wish) && (
        <>
          <span>
            <label htmlFor={`${id}-lead`}>before it</label>{' '}
            <select
              id={`${id}-lead`}
              className="field"
              value={wish.lead}
              onChange={({ target: { value } }) => {
                const lead = LEAD.find(([name]) => name === value)?.[0];
                if (lead) want({ ...wish, lead });
              }}
            >
              {LEAD.map(([name, words]) => (
                <option key={name} value={name}>
                  {words}
                </option>
              ))}
            </select>
          </span>
          <Level
            words="how loud"
            value={levels.level}
            change={(level) => change({ ...levels, level })}
          />
          <Level
            words="click"
            value={levels.click}
            change={(click) => change({ ...levels, click })}
          />
        </>
      )}
      {silence && (
        <p className="sheet" role="status">
          {silence}
        </p>
      )}
    </section>
  );
}

function Level({
  words,
  value,
  change,
}: {
  readonly words: string;
  readonly value: number;
  readonly change: (value: number) => void;
}) {
  return (
    <label>
      {words}{' '}
      <input
        type="range"
        min={0}
        max={1}
        step={0.05}
        value={value}
        onChange={(event) => change(event.target.valueAsNumber)}
      />
    </label>
  );
}
