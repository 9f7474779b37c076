import { useDeferredValue, useId, useMemo, useState } from 'react';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { Level } from '../../../lib/hands/level';
import { LEVELS } from '../../../lib/hands/level';
import { ideas } from '../../../lib/ideas/ideas';
import type { JudgeContext } from '../../../lib/judge';
import type { Measure, Stroke } from '../../../lib/tab/measure';
import { Tab } from '../tab/tab';

const ALL_LEVELS: readonly Level[] = [1, 2, 3, 4, 5];
const SHOWN = 8;

/** Whole variations that the engine offers for the measure, each with its level and what to play; taken into the grid at a touch. */
export function Ideas({
  context,
  already,
  take,
}: {
  readonly context: JudgeContext;
  readonly already: readonly (readonly Stroke[])[];
  readonly take: (measure: Measure) => void;
}) {
  const [family, setFamily] = useState<FamilyId | ''>('');
  const [level, setLevel] = useState<Level>(context.level ?? 3);
  const [busyness, setBusyness] = useState(0);
  const asked = useDeferredValue(busyness);
  const list = useId();
  const { plain } = context;
  // The engine is asked again only when what it is asked changes; typing in the grid does not touch this.
  const found = useMemo(
    () =>
      ideas(context.plain, context, {
        level,
        busyness: asked,
        already,
        limit: SHOWN,
        ...(family === '' ? {} : { family }),
      }),
    [context, level, asked, already, family],
  );
  return (
    <section className="grid gap-2" aria-labelledby={`${list}-title`}>
      <h4 id={`${list}-title`}>Ideas for the whole measure</h4>
      <div className="flex flex-wrap items-end gap-3">
        <label className="grid gap-1">
          with
          <select
            className="field"
            value={family}
            onChange={(event) =>
              setFamily(FAMILIES.find(({ id }) => id === event.target.value)?.id ?? '')
            }
          >
            <option value="">anything</option>
            {FAMILIES.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label className="grid gap-1">
          at most level
          <select
            className="field"
            value={level}
            onChange={(event) =>
              setLevel(ALL_LEVELS.find((one) => one === Number(event.target.value)) ?? level)
            }
          >
            {ALL_LEVELS.map((one) => (
              <option key={one} value={one}>
                {one}: {LEVELS[one]}
              </option>
            ))}
          </select>
        </label>
        <label className="grid gap-1">
          from sparse to busy
          <input
            type="range"
            min={0}
            max={1}
            step={0.25}
            value={busyness}
            onChange={(event) => setBusyness(event.target.valueAsNumber)}
          />
        </label>
      </div>
      {found.length === 0 && (
        <p className="refusal">
          Nothing fits at this level. Allow a higher level, or choose another embellishment.
        </p>
      )}
      <ul className="offers">
        {found.map((idea) => (
          <li key={idea.words}>
            <button
              type="button"
              className="offer"
              data-idea
              onClick={() => take({ ...plain, strokes: idea.strokes })}
            >
              <Tab measure={{ ...plain, strokes: idea.strokes }} label={idea.words} />
              <span>
                {idea.words}{' '}
                <span className="text-soft">
                  Level {idea.level}, {Math.round(idea.likeness * 100)} % like the tune.
                </span>
              </span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
