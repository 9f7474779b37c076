import { useMemo, useState } from 'react';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { PartMeasure } from '../../../lib/ideas/part';
import { exercise, tastefulMix } from '../../../lib/ideas/part';
import type { Part } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import type { Board } from '../../../shared/board/schema';
import { Tab } from '../tab/tab';
import type { BoardActs } from './acts';

type Asked = FamilyId | 'mix';

function made(board: Board, part: Part, asked: Asked, turn: number): readonly PartMeasure[] {
  const { tune, level } = board;
  return asked === 'mix'
    ? tastefulMix(part, tune, level, turn)
    : exercise(part, asked, tune, level);
}

/** The whole part as an exercise for one embellishment, or as music with a few of them; all of it can be put forward at once. */
export function Exercise({
  board,
  part,
  acts,
}: {
  readonly board: Board;
  readonly part: Part;
  readonly acts: BoardActs;
}) {
  const [open, setOpen] = useState(false);
  return (
    <details className="exercise" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Ideas for the whole part</summary>
      {open && <Choices board={board} part={part} acts={acts} />}
    </details>
  );
}

function Choices({
  board,
  part,
  acts,
}: {
  readonly board: Board;
  readonly part: Part;
  readonly acts: BoardActs;
}) {
  const [asked, setAsked] = useState<Asked>('mix');
  const [turn, setTurn] = useState(1);
  const measures = useMemo(() => made(board, part, asked, turn), [board, part, asked, turn]);
  const changed = measures.flatMap(({ id, idea }) => (idea ? [{ id, idea }] : []));
  const plain = new Map(part.measures.map((measure) => [measure.id, measure]));
  return (
    <div className="grid gap-3 pt-2">
      <div className="flex flex-wrap items-end gap-3">
        <label className="grid gap-1">
          what
          <select
            className="field"
            value={asked}
            onChange={(event) =>
              setAsked(FAMILIES.find(({ id }) => id === event.target.value)?.id ?? 'mix')
            }
          >
            <option value="mix">as music: a few, here and there</option>
            {FAMILIES.map(({ id, name }) => (
              <option key={id} value={id}>
                exercise: {name} wherever it goes
              </option>
            ))}
          </select>
        </label>
        {asked === 'mix' && (
          <button type="button" className="button" onClick={() => setTurn(turn + 1)}>
            another one
          </button>
        )}
        <button
          type="button"
          className="button"
          aria-disabled={changed.length === 0}
          onClick={() => {
            for (const { id, idea } of changed) acts.propose(id, idea.strokes, '');
          }}
        >
          Put {changed.length === 1 ? 'it' : `all ${changed.length}`} forward
        </button>
      </div>
      {changed.length === 0 && (
        <p className="refusal">
          Nothing of the kind goes into this part at level {board.level}. The leader can raise the
          group's level.
        </p>
      )}
      <ol className="line">
        {measures.map(({ id, idea }) => {
          const measure = plain.get(id);
          if (!measure) return null;
          return (
            <li key={id} className="column">
              <Tab
                measure={measureOf(board.tune.meter, measure, idea?.strokes)}
                label={idea ? idea.words : 'as it is'}
                options={{ changed: idea !== undefined }}
              />
              {idea && (
                <p className="px-2 text-soft">
                  {idea.words} Level {idea.level}.
                </p>
              )}
            </li>
          );
        })}
      </ol>
    </div>
  );
}
