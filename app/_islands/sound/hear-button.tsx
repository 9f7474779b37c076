'use client';

import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import type { Bpm } from '../../../lib/units';
import { deck } from './deck';
import { useDeck } from './use-deck';

/** A measure to be heard, and the CSS selector of the picture that shows it. */
export interface HeardMeasure {
  readonly measure: Measure;
  readonly place: string;
}

/** Plays measures one after the other, once; pressed again, it stops. */
export function HearButton({
  measures,
  neck,
  tempo,
  words = 'hear',
  what,
}: {
  readonly measures: readonly HeardMeasure[];
  readonly neck: Neck;
  /** The tune's own; it is heard as much slower as the person has set. */
  readonly tempo: Bpm;
  readonly words?: string;
  /** For ears: what is heard. */
  readonly what: string;
}) {
  const { playing, levels } = useDeck();
  const name = `${words} ${what}`;
  const on = playing === name;
  const play = () => {
    if (on) {
      deck.stop();
      return undefined;
    }
    return deck.play(name, (make) => (index) => {
      if (index > 0) return undefined;
      const request = {
        measures: measures.map(({ measure }) => measure),
        neck,
        tempo: tempo * levels.speed,
      };
      return make(
        request,
        measures.map(({ place }) => place),
      );
    });
  };
  return (
    <button
      type="button"
      className="button button-small button-hear"
      aria-pressed={on}
      onClick={play}
    >
      <span>
        {words} <span className="sr-only">{what}</span>
      </span>
    </button>
  );
}
