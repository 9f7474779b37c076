import type { Count } from '../../../shared/board/lesson';
import { deck } from '../sound/deck';
import { useDeck } from '../sound/use-deck';
import { Dial, Tick } from './dials';
import type { Settings } from './settings';

const LEAD_INS: readonly (readonly [Count, string])[] = [
  ['none', 'at once'],
  ['count', 'after two measures of count'],
  ['potatoes', 'after four potatoes'],
];

const perCent = (share: number) => `${Math.round(100 * share)} %`;

/** What is heard, and how loud. */
export function Loud({
  settings,
  change,
}: {
  readonly settings: Settings;
  readonly change: (change: Partial<Settings>) => void;
}) {
  const { levels } = useDeck();
  return (
    <fieldset className="sheet dials">
      <legend>What is heard</legend>
      <Dial
        words="how loud"
        value={levels.level}
        low={0}
        high={1}
        step={0.05}
        shown={perCent(levels.level)}
        set={(level) => deck.setLevels({ ...levels, level })}
      />
      <Tick on={settings.melody} set={(melody) => change({ melody })}>
        the melody: strings 1 to 4
      </Tick>
      <Tick on={settings.drone} set={(drone) => change({ drone })}>
        the drone: string 5
      </Tick>
      <Tick on={settings.click} set={(click) => change({ click })}>
        a click on every beat
      </Tick>
      {settings.click && (
        <>
          <Tick on={settings.accent} set={(accent) => change({ accent })}>
            the first of a measure stands out
          </Tick>
          <Dial
            words="click"
            value={levels.click}
            low={0}
            high={1}
            step={0.05}
            shown={perCent(levels.click)}
            set={(click) => deck.setLevels({ ...levels, click })}
          />
        </>
      )}
      <label className="grid gap-1">
        It begins
        <select
          className="field"
          value={settings.leadIn}
          onChange={(event) => {
            const chosen = LEAD_INS.find(([leadIn]) => leadIn === event.target.value);
            if (chosen) change({ leadIn: chosen[0] });
          }}
        >
          {LEAD_INS.map(([leadIn, words]) => (
            <option key={leadIn} value={leadIn}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <Tick on={settings.counted} set={(counted) => change({ counted })}>
        the beat counted on the screen
      </Tick>
    </fieldset>
  );
}
