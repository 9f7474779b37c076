import { useState } from 'react';
import { slotsIn } from '../../../lib/rhythm';
import { LETTERS } from '../../../lib/structure/layout';
import type { Part } from '../../../lib/tune';
import type { Board, LaidAside } from '../../../shared/board/schema';
import { freshMeasureId } from './fresh-id';
import { Act } from './measure-structure';
import { measureNumbers } from './sights';
import type { Structuring } from './use-structure';

/** The tune's parts and their order, and what was laid aside; single measures are changed where they stand. */
export function TuneStructure({
  board,
  structure,
}: {
  readonly board: Board;
  readonly structure: Structuring;
}) {
  const { parts, form } = board.tune;
  return (
    <details className="structure">
      <summary>The tune's parts, their order, and what was laid aside</summary>
      <div className="grid gap-4 pt-2">
        <p className="text-soft">
          Measures are added, split, joined and taken out where they stand: open one with “vary it”.
          Everybody sees it at once.
        </p>
        <Order key={form.join('')} form={form} structure={structure} />
        <ul className="grid gap-3">
          {parts.map((part, index) => (
            <OnePart
              key={part.letter}
              board={board}
              part={part}
              next={parts[index + 1]?.letter}
              structure={structure}
            />
          ))}
        </ul>
        <p>
          <Act
            words="add a part"
            act={() => structure.change({ kind: 'add-part', id: freshMeasureId() })}
          />
        </p>
        <Aside laidAside={board.laidAside} structure={structure} />
      </div>
    </details>
  );
}

/** The order in which a pass plays the parts. */
function Order({
  form,
  structure,
}: {
  readonly form: readonly string[];
  readonly structure: Structuring;
}) {
  const [text, setText] = useState(form.join(' '));
  return (
    <form
      className="flex flex-wrap items-end gap-3"
      onSubmit={(event) => {
        event.preventDefault();
        const letters = text.toUpperCase().replaceAll(/[^A-Z]/g, '');
        structure.change({ kind: 'order', form: [...letters] });
      }}
    >
      <label className="grid gap-1">
        A pass plays the parts in this order
        <input
          className="field w-48"
          value={text}
          maxLength={80}
          onChange={(event) => setText(event.target.value)}
        />
      </label>
      <button type="submit" className="button">
        Play them so
      </button>
    </form>
  );
}

function OnePart({
  board,
  part,
  next,
  structure,
}: {
  readonly board: Board;
  readonly part: Part;
  readonly next: string | undefined;
  readonly structure: Structuring;
}) {
  const { letter, measures } = part;
  const { change } = structure;
  const { form, meter } = board.tune;
  const [slots, setSlots] = useState(2);
  const numbers = measureNumbers(board);
  const named = measures.map(({ id }) => numbers.get(id) ?? 0).filter((number) => number > 0);
  const times = form.filter((one) => one === letter).length;
  const hasPickup = (measures[0]?.startsAt ?? 0) > 0;
  const range = named.length > 1 ? `measures ${named[0]} to ${named.at(-1)}` : 'one measure';
  const played = times === 0 ? 'not played' : times === 1 ? 'played once' : `played ${times} times`;
  const taken = new Set(board.tune.parts.map((one) => one.letter));
  return (
    <li className="tools">
      <p>
        <strong>Part {letter}</strong>: {range}
        {hasPickup && ' and a pickup'}, {played}
      </p>
      <fieldset>
        <legend className="sr-only">Part {letter}</legend>
        <label className="flex items-center gap-1">
          called
          <select
            className="field"
            value={letter}
            onChange={(event) =>
              change({ kind: 'rename-part', part: letter, to: event.target.value })
            }
          >
            {LETTERS.filter((one) => one === letter || !taken.has(one)).map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </label>
        {hasPickup ? (
          <Act
            words="take its pickup away"
            act={() => change({ kind: 'no-pickup', part: letter })}
          />
        ) : (
          <span className="flex flex-wrap items-center gap-1">
            <Act
              words="begin it with a pickup of"
              act={() => change({ kind: 'pickup', part: letter, slots, id: freshMeasureId() })}
            />
            <select
              className="field"
              aria-label="slots of the pickup"
              value={slots}
              onChange={(event) => setSlots(Number(event.target.value))}
            >
              {Array.from({ length: slotsIn(meter) / 2 }, (_, i) => i + 1).map((count) => (
                <option key={count} value={count}>
                  {count === 1 ? '1 slot' : `${count} slots`}
                </option>
              ))}
            </select>
          </span>
        )}
        {next !== undefined && (
          <Act
            words={`one part with ${next}`}
            act={() => change({ kind: 'join-parts', part: letter })}
          />
        )}
        <Act words="take it out" act={() => change({ kind: 'remove-part', part: letter })} />
      </fieldset>
    </li>
  );
}

/** What was taken out, split, joined or shortened, each with the way back. */
function Aside({
  laidAside,
  structure,
}: {
  readonly laidAside: readonly LaidAside[];
  readonly structure: Structuring;
}) {
  if (laidAside.length === 0)
    return (
      <p className="text-soft">
        Nothing is laid aside. What you take out of the tune is kept here, with its variants, and
        can come back.
      </p>
    );
  return (
    <section aria-labelledby="aside" className="grid gap-1">
      <h3 id="aside">Laid aside</h3>
      <ul className="grid gap-1">
        {laidAside.map(({ part, index, measure, variants }) => (
          <li key={measure.id} className="flex flex-wrap items-center gap-2">
            <span>
              from part {part}, {index === 0 ? 'at its beginning' : `after its measure ${index}`}
              {variants.length > 0 &&
                `, with ${variants.length === 1 ? '1 variant' : `${variants.length} variants`}`}
            </span>
            <Act
              words="put it back"
              act={() => structure.change({ kind: 'put-back', measure: measure.id })}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}
