import { melodyMarks } from '../../../lib/melody-marks';
import type { Measure } from '../../../lib/tab/measure';
import type { Ticks } from '../../../lib/units';
import { describeStroke } from '../../../lib/words/describe';

/** The leader's word on which strokes of the plain measure are the tune; what is judged "still the tune" goes by it. */
export function MelodyMarks({
  plain,
  marked,
  mark,
}: {
  readonly plain: Measure;
  /** As the board has it; empty: found by rule. */
  readonly marked: readonly Ticks[];
  readonly mark: (melody: readonly Ticks[]) => void;
}) {
  const now = marked.length > 0 ? marked : melodyMarks(plain);
  const toggle = (at: Ticks) =>
    mark(now.includes(at) ? now.filter((one) => one !== at) : [...now, at].sort((a, b) => a - b));
  return (
    <details>
      <summary>Which strokes are the tune</summary>
      <ul className="flex flex-wrap gap-2 pt-2">
        {plain.strokes.map((stroke, index) =>
          stroke.notes.length === 0 ? null : (
            <li key={stroke.at}>
              <button
                type="button"
                className="button button-small"
                aria-pressed={now.includes(stroke.at)}
                onClick={() => toggle(stroke.at)}
              >
                {describeStroke(plain, index)}
              </button>
            </li>
          ),
        )}
      </ul>
      <button
        type="button"
        className="button button-quiet"
        onClick={() => mark(melodyMarks(plain))}
      >
        find them by rule
      </button>
    </details>
  );
}
