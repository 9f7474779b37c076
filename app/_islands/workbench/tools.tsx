import { hasFret } from '../../../lib/tuning';
import type { Act, Draft } from './draft';
import { strokeStartingIn } from './draft';
import { STROKE_KEYS } from './keys';

/** Frets that have a button; higher ones are typed. Common practice: the first position and one reach beyond. */
const FRET_BUTTONS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12];

/** The same acts as the keys, for a finger or a mouse; each shows its key. */
export function Tools({ draft, act }: { readonly draft: Draft; readonly act: (act: Act) => void }) {
  const { measure, spot, neck } = draft;
  const index = strokeStartingIn(measure, spot.slot);
  const stroke = index === undefined ? undefined : measure.strokes[index];
  const note = stroke?.notes.find(({ string }) => string === spot.string);
  const frets = FRET_BUTTONS.filter((fret) => hasFret(neck, spot.string, fret));
  return (
    <div className="tools">
      <fieldset>
        <legend>
          Fret on string {spot.string} <kbd>0</kbd>–<kbd>9</kbd>
        </legend>
        {frets.map((fret) => (
          <button
            key={fret}
            type="button"
            className="button"
            aria-pressed={note?.fret === fret}
            onClick={() => act({ kind: 'fret', fret })}
          >
            {fret}
          </button>
        ))}
        <button
          type="button"
          className="button button-quiet"
          aria-disabled={!note}
          onClick={() => act({ kind: 'clear' })}
        >
          take away <kbd>Del</kbd>
        </button>
      </fieldset>
      <fieldset>
        <legend>Stroke</legend>
        {STROKE_KEYS.map(({ by, key, name }) => (
          <button
            key={by}
            type="button"
            className="button"
            aria-pressed={stroke?.by === by}
            onClick={() => act({ kind: 'by', by })}
          >
            {name} <kbd>{key.toUpperCase()}</kbd>
          </button>
        ))}
      </fieldset>
      <fieldset>
        <legend>Length, and back again</legend>
        <button type="button" className="button" onClick={() => act({ kind: 'length', slots: -1 })}>
          shorter <kbd>−</kbd>
        </button>
        <button type="button" className="button" onClick={() => act({ kind: 'length', slots: 1 })}>
          longer <kbd>+</kbd>
        </button>
        <button
          type="button"
          className="button"
          aria-disabled={draft.past.length === 0}
          onClick={() => act({ kind: 'undo' })}
        >
          undo <kbd>Ctrl Z</kbd>
        </button>
        <button
          type="button"
          className="button"
          aria-disabled={draft.future.length === 0}
          onClick={() => act({ kind: 'redo' })}
        >
          redo <kbd>Ctrl Y</kbd>
        </button>
      </fieldset>
    </div>
  );
}
