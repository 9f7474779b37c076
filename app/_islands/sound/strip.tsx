'use client';

import { deck } from './deck';
import { SLOWEST } from './levels';
import { useDeck } from './use-deck';

/** How loud and how fast measures are heard on this page. */
export function HearStrip() {
  const { levels, silence } = useDeck();
  return (
    <section className="hear-strip" aria-label="How measures are heard">
      <span className="text-soft">Hear a measure:</span>
      <label>
        how loud
        <input
          type="range"
          min={0}
          max={1}
          step={0.05}
          value={levels.level}
          onChange={(event) => deck.setLevels({ ...levels, level: event.target.valueAsNumber })}
        />
      </label>
      <label>
        how fast
        <input
          type="range"
          min={SLOWEST}
          max={1}
          step={(1 - SLOWEST) / 20}
          value={levels.speed}
          aria-valuetext={`${Math.round(100 * levels.speed)} % of the tune's tempo`}
          onChange={(event) => deck.setLevels({ ...levels, speed: event.target.valueAsNumber })}
        />
        <span aria-hidden="true">{Math.round(100 * levels.speed)} %</span>
      </label>
      {silence && (
        <p className="sheet" role="status">
          {silence}
        </p>
      )}
    </section>
  );
}
