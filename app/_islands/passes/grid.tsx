import type { DragEvent, KeyboardEvent, ReactNode } from 'react';
import { useCallback, useEffect, useRef } from 'react';
import { measureOf } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { strokesIn } from '../../../shared/board/plan';
import { measuresOf } from '../../../shared/board/plan-to-play';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers } from '../board/sights';
import { Cell } from './cell';
import type { MadePasses } from './message';

/** A place in the plan: pass from 0. */
export interface Place {
  readonly pass: number;
  readonly measure: MeasureId;
}

function placeId({ pass, measure }: Place): string {
  return `${pass}/${measure}`;
}

function placeFrom(id: string): Place {
  const [pass = '', measure = ''] = id.split('/');
  return { pass: Number(pass), measure: measure as MeasureId };
}

/** Passes as rows and measures as columns. Arrow keys go from cell to cell; with Alt they swap a cell with the pass above or below. */
export function PassGrid({
  board,
  made,
  at,
  go,
  swap,
  lock,
  tools,
}: {
  readonly board: Board;
  readonly made: MadePasses;
  readonly at: Place;
  readonly go: (place: Place) => void;
  /** Absent for somebody who does not lead. */
  readonly swap: ((measure: MeasureId, a: number, b: number) => void) | undefined;
  readonly lock: ((place: Place) => void) | undefined;
  /** What stands at the head of each row, beside the pass's number. */
  readonly tools: (pass: number) => ReactNode;
}) {
  const table = useRef<HTMLTableElement>(null);
  const active = useRef(false);
  const { plan, busyness } = made;
  const rows = plan.passes.map((chosen, pass) => ({ chosen, pass, key: `pass ${pass + 1}` }));
  const measures = measuresOf(board);
  const numbers = measureNumbers(board);
  const most = Math.max(1, ...busyness);
  const isLocked = (pass: number, measure: MeasureId) =>
    board.planning.locks.some(
      (one) => one.kind === 'cell' && one.pass === pass + 1 && one.measure === measure,
    );
  useEffect(() => {
    if (!active.current) return;
    table.current?.querySelector<HTMLElement>(`[data-cell="${placeId(at)}"]`)?.focus();
  }, [at]);
  const pick = useCallback((id: string) => go(placeFrom(id)), [go]);

  const onKeyDown = (event: KeyboardEvent) => {
    const column = measures.findIndex(({ id }) => id === at.measure);
    const step = { ArrowUp: -1, ArrowDown: 1 }[event.key] ?? 0;
    const side = { ArrowLeft: -1, ArrowRight: 1 }[event.key] ?? 0;
    const pass = Math.min(plan.passes.length - 1, Math.max(0, at.pass + step));
    const measure = measures[Math.min(measures.length - 1, Math.max(0, column + side))]?.id;
    if (step !== 0 && event.altKey) swap?.(at.measure, at.pass, pass);
    else if (event.key.toLowerCase() === 'l' && !event.ctrlKey && !event.metaKey) lock?.(at);
    else if (step === 0 && side === 0) return;
    if (measure && (step !== 0 || side !== 0)) go({ pass, measure });
    event.preventDefault();
  };
  const onDrop = (event: DragEvent, to: Place) => {
    const from = placeFrom(event.dataTransfer.getData('text/x-cell'));
    if (from.measure === to.measure) swap?.(to.measure, from.pass, to.pass);
    event.preventDefault();
  };

  return (
    <div className="pass-scroll">
      <table
        ref={table}
        className="pass-grid"
        onKeyDown={onKeyDown}
        onFocus={(event) => {
          active.current = true;
          const { cell } = event.target.dataset;
          if (cell !== undefined && cell !== placeId(at)) go(placeFrom(cell));
        }}
        onBlur={() => {
          active.current = false;
        }}
      >
        <caption className="sr-only">
          Passes by measures. Arrow keys move; L locks; Alt with up or down swaps with the pass
          above or below.
        </caption>
        <thead>
          <tr>
            <th scope="col">Pass</th>
            {board.tune.parts.flatMap((part) =>
              part.measures.map(({ id }, index) => (
                <th key={id} scope="col">
                  {index === 0 && <b>{part.letter} </b>}
                  {numbers.get(id) === 0 ? 'pickup' : numbers.get(id)}
                </th>
              )),
            )}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ chosen, pass, key }) => (
            <tr key={key}>
              <th scope="row">
                <span className="pass-number">{pass + 1}</span>
                <span className="busy" title={`${busyness[pass]} notes`}>
                  <span style={{ width: `${((busyness[pass] ?? 0) / most) * 100}%` }} />
                </span>
                <span className="text-soft">{busyness[pass]} notes</span>
                {tools(pass)}
              </th>
              {measures.map((plain) => {
                const place = { pass, measure: plain.id };
                const variant = plan.variants[chosen[plain.id] ?? 'plain'];
                const was = board.plan?.passes[pass]?.[plain.id];
                return (
                  <td
                    key={plain.id}
                    onDragOver={(event) => event.preventDefault()}
                    onDrop={(event) => onDrop(event, place)}
                  >
                    <Cell
                      id={placeId(place)}
                      measure={measureOf(board.tune.meter, plain, strokesIn(plan, pass, plain))}
                      named={`pass ${pass + 1}, measure ${numbers.get(plain.id)}`}
                      author={variant && (variant.by || 'somebody')}
                      locked={isLocked(pass, plain.id)}
                      changed={board.plan !== undefined && was !== chosen[plain.id]}
                      here={at.pass === pass && at.measure === plain.id}
                      pick={pick}
                    />
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
