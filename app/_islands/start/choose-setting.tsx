import { TUNINGS } from '../../../lib/tuning';
import type { Setting } from './setting';

const CAPOS = [0, 1, 2, 3, 4, 5];

/** The tuning and the capo that a tune is set for. */
export function ChooseSetting({
  setting,
  set,
}: {
  readonly setting: Setting;
  readonly set: (setting: Setting) => void;
}) {
  return (
    <div className="flex flex-wrap gap-4">
      <label className="grid gap-1">
        Tuning
        <select
          className="field"
          value={setting.tuning}
          onChange={(event) => set({ tuning: event.target.value, capo: setting.capo })}
        >
          <option value="">the one it lies best in</option>
          {TUNINGS.map(({ id, name }) => (
            <option key={id} value={id}>
              {id}, {name}
            </option>
          ))}
        </select>
      </label>
      {setting.tuning && (
        <label className="grid gap-1">
          Capo at fret
          <select
            className="field"
            value={setting.capo}
            onChange={(event) => set({ tuning: setting.tuning, capo: Number(event.target.value) })}
          >
            {CAPOS.map((fret) => (
              <option key={fret} value={fret}>
                {fret === 0 ? 'none' : fret}
              </option>
            ))}
          </select>
        </label>
      )}
    </div>
  );
}
