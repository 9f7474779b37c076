import { useId, useState } from 'react';
import { slotsIn } from '../../../lib/rhythm';
import type { Part, PlainMeasure } from '../../../lib/tune';
import { chordsOf } from '../../../lib/tune';
import type { Ticks } from '../../../lib/units';
import type { Board } from '../../../shared/board/schema';
import { freshMeasureId } from './fresh-id';
import type { Structuring } from './use-structure';

/** A measure's place in the tune, in a leader's hand: what stands beside it, how long it is, when it is played. */
export function MeasureStructure({
  board,
  part,
  plain,
  structure,
}: {
  readonly board: Board;
  readonly part: Part;
  readonly plain: PlainMeasure;
  readonly structure: Structuring;
}) {
  const { change } = structure;
  const { meter, form } = board.tune;
  const measure = plain.id;
  const slots = plain.ticks / meter.slot;
  const first = plain.startsAt / meter.slot;
  const [before, setBefore] = useState(Math.max(1, Math.floor(slots / 2)));
  const splits = Array.from({ length: Math.ceil(slots) - 1 }, (_, i) => i + 1);
  const of = form.filter((letter) => letter === part.letter).length;
  const add = (where: 'before' | 'after', copy: boolean) =>
    change({ kind: 'add', beside: measure, where, copy, id: freshMeasureId() });
  const full = plain.startsAt + plain.ticks >= slotsIn(meter) * meter.slot;
  return (
    <details className="structure">
      <summary>This measure in the tune: add, split, join, chords, endings, parts</summary>
      <div className="tools pt-2">
        <fieldset>
          <legend>Measures</legend>
          <Act words="add an empty one before" act={() => add('before', false)} />
          <Act words="add an empty one after" act={() => add('after', false)} />
          <Act words="add a copy after" act={() => add('after', true)} />
          <Act words="earlier" act={() => change({ kind: 'move', measure, by: -1 })} />
          <Act words="later" act={() => change({ kind: 'move', measure, by: 1 })} />
          <Act words="take it out" act={() => change({ kind: 'remove', measure })} />
        </fieldset>
        <fieldset>
          <legend>Its length</legend>
          {splits.length > 0 && (
            <span className="flex flex-wrap items-center gap-1">
              <Act
                words="split it before slot"
                act={() => change({ kind: 'split', measure, at: before * meter.slot })}
              />
              <select
                className="field"
                aria-label="slot to split it before"
                value={before}
                onChange={(event) => setBefore(Number(event.target.value))}
              >
                {splits.map((slot) => (
                  <option key={slot} value={slot}>
                    {first + slot + 1}
                  </option>
                ))}
              </select>
            </span>
          )}
          <Act words="join it with the next" act={() => change({ kind: 'join', measure })} />
          <Act
            words="a slot shorter"
            act={() => change({ kind: 'length', measure, ticks: plain.ticks - meter.slot })}
          />
          {!full && (
            <Act
              words="a slot longer"
              act={() => change({ kind: 'length', measure, ticks: plain.ticks + meter.slot })}
            />
          )}
        </fieldset>
        <Chords
          key={JSON.stringify(chordsOf(plain))}
          plain={plain}
          slot={meter.slot}
          structure={structure}
        />
        {of > 1 && <Times part={part} plain={plain} of={of} structure={structure} />}
        <fieldset>
          <legend>Part {part.letter}</legend>
          {part.measures[0] !== plain && (
            <Act words="a new part begins here" act={() => change({ kind: 'cut-part', measure })} />
          )}
          <Act
            words="first and second ending from here"
            act={() => change({ kind: 'endings', measure, ids: part.measures.map(freshMeasureId) })}
          />
        </fieldset>
      </div>
    </details>
  );
}

/** One act as a button. */
export function Act({ words, act }: { readonly words: string; readonly act: () => void }) {
  return (
    <button type="button" className="button" onClick={act}>
      {words}
    </button>
  );
}

/** The chords of a measure, each from a slot on; an empty one is taken away. */
function Chords({
  plain,
  slot,
  structure,
}: {
  readonly plain: PlainMeasure;
  readonly slot: Ticks;
  readonly structure: Structuring;
}) {
  const first = Math.floor(plain.startsAt / slot);
  const slots = Array.from({ length: Math.ceil(plain.ticks / slot) }, (_, i) => i);
  const all = chordsOf(plain);
  const [at, setAt] = useState(0);
  const [symbol, setSymbol] = useState(all.find((one) => one.at === 0)?.symbol ?? '');
  const said = all.map((one) => `${one.symbol} from slot ${first + Math.floor(one.at / slot) + 1}`);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        structure.change({ kind: 'chord', measure: plain.id, at, symbol });
      }}
    >
      <fieldset>
        <legend>Chords: {said.length > 0 ? said.join(', ') : 'as before'}</legend>
        <select
          className="field"
          aria-label="slot from which the chord holds"
          value={at}
          onChange={(event) => {
            const next = Number(event.target.value);
            setAt(next);
            setSymbol(all.find((one) => one.at === next)?.symbol ?? '');
          }}
        >
          {slots.map((index) => (
            <option key={index} value={index * slot}>
              from slot {first + index + 1}
            </option>
          ))}
        </select>
        <input
          className="field w-24"
          aria-label="chord, like G or D7; empty takes it away"
          value={symbol}
          maxLength={16}
          onChange={(event) => setSymbol(event.target.value)}
        />
        <button type="submit" className="button">
          set the chord
        </button>
      </fieldset>
    </form>
  );
}

/** At which times through its part a measure is played. */
function Times({
  part,
  plain,
  of,
  structure,
}: {
  readonly part: Part;
  readonly plain: PlainMeasure;
  readonly of: number;
  readonly structure: Structuring;
}) {
  const times = Array.from({ length: of }, (_, i) => i + 1);
  const now = plain.endings ?? times;
  const name = useId();
  return (
    <fieldset>
      <legend>
        Played of the {of} times through part {part.letter}
      </legend>
      {times.map((time) => (
        <label key={time} className="flex min-h-11 items-center gap-1 pr-2">
          <input
            type="checkbox"
            name={name}
            checked={now.includes(time)}
            onChange={() =>
              structure.change({
                kind: 'times',
                measure: plain.id,
                times: now.includes(time) ? now.filter((one) => one !== time) : [...now, time],
              })
            }
          />
          time {time}
        </label>
      ))}
    </fieldset>
  );
}
