import { useState } from 'react';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { MeasureId } from '../../../lib/units';
import type { ExerciseTask } from '../../../shared/board/exercise';
import type { Board } from '../../../shared/board/schema';
import { MAX_MINUTES } from '../../../shared/board/values';
import { stretchWords } from './words';

/** Minutes that are offered first. Source: common practice, no source: short spells. */
const USUAL_MINUTES = 5;
/** Value of the choice of other measures than those that are offered. */
const OWN = 'own';

interface Stretch {
  readonly from: MeasureId;
  readonly to: MeasureId;
}

/** Stretches that are offered by name: each part whole, and each half of one. */
function stretches({ tune }: Board): readonly Stretch[] {
  const span = (measures: readonly { readonly id: MeasureId }[]): readonly Stretch[] => {
    const [first, last] = [measures[0], measures.at(-1)];
    return first && last ? [{ from: first.id, to: last.id }] : [];
  };
  const halves = tune.parts.flatMap(({ measures }) => {
    const half = Math.ceil(measures.length / 2);
    return measures.length < 4
      ? []
      : [...span(measures.slice(0, half)), ...span(measures.slice(half))];
  });
  return [...tune.parts.flatMap(({ measures }) => span(measures)), ...halves];
}

/** One end of a stretch of one's own. */
function End({
  label,
  board,
  value,
  change,
}: {
  readonly label: string;
  readonly board: Board;
  readonly value: MeasureId;
  readonly change: (measure: MeasureId) => void;
}) {
  const measures = board.tune.parts.flatMap((part) => part.measures);
  return (
    <label className="grid gap-1">
      {label}
      <select
        className="field"
        value={value}
        onChange={({ target }) => {
          const found = measures.find(({ id }): boolean => id === target.value);
          if (found) change(found.id);
        }}
      >
        {measures.map(({ id }) => (
          <option key={id} value={id}>
            {stretchWords(board, { from: id, to: id })}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The leader's form for an exercise: an embellishment, where, and for how long. */
export function SetExercise({
  board,
  now,
  set,
}: {
  readonly board: Board;
  readonly now: () => number;
  readonly set: (task: ExerciseTask) => void;
}) {
  const [family, setFamily] = useState<FamilyId>('hammer-on');
  const [minutes, setMinutes] = useState(USUAL_MINUTES);
  const [chosen, setChosen] = useState(0);
  const [own, setOwn] = useState<Stretch>();
  const offered = stretches(board);
  const stretch = own ?? offered[chosen] ?? offered[0];
  const good = stretch && Number.isInteger(minutes) && minutes >= 1 && minutes <= MAX_MINUTES;
  return (
    <details>
      <summary>Set an exercise</summary>
      <p className="text-soft">
        Everybody takes measures of their own and tries one embellishment there, all against one
        clock. What they put forward is gathered here.
      </p>
      <div className="flex flex-wrap items-end gap-3 pt-2">
        <label className="grid gap-1">
          Try
          <select
            className="field"
            value={family}
            onChange={({ target: { value } }) => {
              const found = FAMILIES.find(({ id }) => id === value);
              if (found) setFamily(found.id);
            }}
          >
            {FAMILIES.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label className="grid gap-1">
          in
          <select
            className="field"
            value={own ? OWN : chosen}
            onChange={({ target: { value } }) => {
              setOwn(value === OWN ? stretch : undefined);
              if (value !== OWN) setChosen(Number(value));
            }}
          >
            {offered.map((one, index) => (
              <option key={`${one.from} ${one.to}`} value={index}>
                {stretchWords(board, one)}
              </option>
            ))}
            <option value={OWN}>other measures</option>
          </select>
        </label>
        {own && (
          <>
            <End
              label="from"
              board={board}
              value={own.from}
              change={(from) => setOwn({ ...own, from })}
            />
            <End label="to" board={board} value={own.to} change={(to) => setOwn({ ...own, to })} />
          </>
        )}
        <label className="grid gap-1">
          Minutes
          <input
            className="field w-24"
            type="number"
            min={1}
            max={MAX_MINUTES}
            value={Number.isNaN(minutes) ? '' : minutes}
            onChange={({ target }) => setMinutes(target.valueAsNumber)}
          />
        </label>
        <button
          type="button"
          className="button"
          aria-disabled={!good}
          onClick={() => good && set({ ...stretch, family, minutes, atMs: Math.round(now()) })}
        >
          Start the exercise
        </button>
        {!good && <p>Choose 1 to {MAX_MINUTES} minutes.</p>}
      </div>
    </details>
  );
}
