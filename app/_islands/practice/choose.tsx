import { containsOf } from '../../../lib/tab/marks';
import { measureOf } from '../../../lib/tune';
import type { MeasureId, VariantId } from '../../../lib/units';
import type { Stretch } from '../../../shared/board/passages';
import type { Board, Variant } from '../../../shared/board/schema';
import { measureNumbers, nameOf } from '../board/sights';
import type { Settings } from './settings';

type Change = (change: Partial<Settings>) => void;

/** A choice as the value of an option, and back. */
function textOf(choice: Settings['choice']): string {
  if (choice.kind === 'pass') return `pass ${choice.pass}`;
  return choice.kind === 'variant' ? `variant ${choice.variant}` : choice.kind;
}

function choiceFrom(text: string): Settings['choice'] {
  const [kind, rest = ''] = text.split(' ');
  if (kind === 'pass') return { kind, pass: Number(rest) };
  if (kind === 'variant') return { kind, variant: rest as VariantId };
  return { kind: kind === 'plan' ? 'plan' : 'plain' };
}

function measureWords(number: number): string {
  return number === 0 ? 'pickup' : `measure ${number}`;
}

function variantWords(board: Board, variant: Variant, number: number): string {
  const plain = board.tune.parts
    .flatMap(({ measures }) => measures)
    .find(({ id }) => id === variant.measure);
  const contains = plain
    ? containsOf(measureOf(board.tune.meter, plain, variant.strokes)).join(', ')
    : '';
  const by = nameOf(board.people, variant.author);
  return `${measureWords(number)}, ${by}: ${contains || 'other notes'}`;
}

/** What is practised: the plain tune, an agreed pass, all of them, or somebody's variant; and how much of it. */
export function Choose({
  board,
  settings,
  change,
}: {
  readonly board: Board;
  readonly settings: Settings;
  readonly change: Change;
}) {
  const { choice, afterPlain, changesOnly } = settings;
  const numbers = measureNumbers(board);
  const passes = (board.plan?.passes ?? []).map((_, index) => index + 1);
  return (
    <div className="choose">
      <label className="grid gap-1">
        Practise
        <select
          className="field"
          value={textOf(choice)}
          onChange={(event) => change({ choice: choiceFrom(event.target.value) })}
        >
          <option value="plain">the plain tune</option>
          {passes.length > 0 && (
            <optgroup label="Agreed">
              {passes.map((pass) => (
                <option key={pass} value={`pass ${pass}`}>
                  pass {pass}
                </option>
              ))}
              <option value="plan">all passes, one after the other</option>
            </optgroup>
          )}
          {board.variants.length > 0 && (
            <optgroup label="Variants">
              {board.variants.map((variant) => (
                <option key={variant.id} value={`variant ${variant.id}`}>
                  {variantWords(board, variant, numbers.get(variant.measure) ?? 0)}
                </option>
              ))}
            </optgroup>
          )}
        </select>
      </label>
      {choice.kind === 'variant' ? (
        <label className="tick">
          <input
            type="checkbox"
            checked={afterPlain}
            onChange={(event) => change({ afterPlain: event.target.checked })}
          />
          the plain measure first
        </label>
      ) : (
        <Range board={board} stretch={settings.stretch} change={change} />
      )}
      {(choice.kind === 'pass' || choice.kind === 'plan') && (
        <label className="tick">
          <input
            type="checkbox"
            checked={changesOnly}
            onChange={(event) => change({ changesOnly: event.target.checked })}
          />
          only what changes
        </label>
      )}
    </div>
  );
}

/** The first and the last measure of a stretch, as it stands on paper. */
function endsOf(board: Board, stretch: Stretch): readonly [MeasureId, MeasureId] | undefined {
  if (stretch.kind === 'measures') return [stretch.from, stretch.to];
  const measures = board.tune.parts
    .filter(({ letter }) => stretch.kind === 'whole' || letter === stretch.letter)
    .flatMap(({ measures }) => measures);
  const first = measures[0];
  const last = measures.at(-1);
  return first && last && [first.id, last.id];
}

/** How much: a whole pass, a part, or from one measure to another. */
function Range({
  board,
  stretch,
  change,
}: {
  readonly board: Board;
  readonly stretch: Stretch;
  readonly change: Change;
}) {
  const numbers = measureNumbers(board);
  const ends = endsOf(board, stretch);
  const select = (stretch: Stretch) => change({ stretch });
  const options = board.tune.parts.map((part) => (
    <optgroup key={part.letter} label={`Part ${part.letter}`}>
      {part.measures.map(({ id }) => (
        <option key={id} value={id}>
          {measureWords(numbers.get(id) ?? 0)}
        </option>
      ))}
    </optgroup>
  ));
  return (
    <>
      <fieldset className="pick">
        <legend>How much of it</legend>
        <button
          type="button"
          className="button"
          aria-pressed={stretch.kind === 'whole'}
          onClick={() => select({ kind: 'whole' })}
        >
          once through
        </button>
        {board.tune.parts.map(({ letter }) => (
          <button
            key={letter}
            type="button"
            className="button"
            aria-pressed={stretch.kind === 'part' && stretch.letter === letter}
            onClick={() => select({ kind: 'part', letter })}
          >
            part {letter}
          </button>
        ))}
      </fieldset>
      {ends && (
        <div className="pick">
          <label className="grid gap-1">
            from
            <select
              className="field"
              value={ends[0]}
              onChange={(event) =>
                select({ kind: 'measures', from: event.target.value as MeasureId, to: ends[1] })
              }
            >
              {options}
            </select>
          </label>
          <label className="grid gap-1">
            to
            <select
              className="field"
              value={ends[1]}
              onChange={(event) =>
                select({ kind: 'measures', from: ends[0], to: event.target.value as MeasureId })
              }
            >
              {options}
            </select>
          </label>
        </div>
      )}
    </>
  );
}
