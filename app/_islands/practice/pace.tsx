import { MOST_SWING, STRAIGHT } from '../../../lib/sound/time';
import type { Bpm } from '../../../lib/units';
import { roundsAStep } from '../../../shared/board/ladder';
import { Dial, Tick, WholeNumber } from './dials';
import type { Settings } from './settings';
import { tempoRange } from './settings';

function swingWords(swing: number): string {
  if (swing === STRAIGHT) return 'straight';
  return `${Math.round(100 * swing)} to ${Math.round(100 * (1 - swing))}`;
}

/** How fast, and how it gets faster. */
export function Pace({
  tune,
  settings,
  change,
}: {
  readonly tune: Bpm;
  readonly settings: Settings;
  readonly change: (change: Partial<Settings>) => void;
}) {
  const { low, high } = tempoRange(tune);
  const { tempo, stepUp, goal, alternate, loop } = settings;
  return (
    <fieldset className="sheet dials">
      <legend>How fast</legend>
      <Dial
        words={stepUp ? 'start at' : 'tempo'}
        value={tempo}
        low={low}
        high={high}
        step={1}
        shown={`${Math.round(tempo)} beats a minute`}
        set={(next) => change({ tempo: next })}
      />
      <Tick on={stepUp} set={(on) => change({ stepUp: on, ...(on ? { loop: true } : {}) })}>
        faster, step by step
      </Tick>
      {stepUp && (
        <>
          <div className="pick">
            <WholeNumber
              words="clean rounds"
              value={settings.rounds}
              low={1}
              high={20}
              set={(rounds) => change({ rounds })}
            />
            <WholeNumber
              words="then faster by"
              value={settings.step}
              low={1}
              high={20}
              set={(step) => change({ step })}
            />
          </div>
          <Dial
            words="up to"
            value={goal}
            low={low}
            high={high}
            step={1}
            shown={`${Math.round(goal)} beats a minute`}
            set={(next) => change({ goal: next })}
          />
          <p className="text-soft">
            After {roundsAStep(settings)} rounds
            {alternate ? ', yours counted,' : ''} it goes on {settings.step} beats a minute faster.
            If one was not clean, say so and its tempo starts over.
          </p>
        </>
      )}
      <Tick on={loop} set={(on) => change({ loop: on })}>
        round and round, until I stop
      </Tick>
      <Tick on={alternate} set={(on) => change({ alternate: on })}>
        every second round is mine alone: it stays silent
      </Tick>
      <Dial
        words="swing"
        value={settings.swing}
        low={STRAIGHT}
        high={MOST_SWING}
        step={0.01}
        shown={swingWords(settings.swing)}
        set={(swing) => change({ swing })}
      />
    </fieldset>
  );
}
