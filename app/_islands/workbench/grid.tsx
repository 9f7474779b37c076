import type { KeyboardEvent } from 'react';
import { useEffect, useRef } from 'react';
import { handAt, slotsIn } from '../../../lib/rhythm';
import { STRINGS } from '../../../lib/units';
import type { Act, Draft } from './draft';
import { shownSlots, slotStart, strokeAtSpot, strokeStartingIn } from './draft';
import { actOfKey, STROKE_KEYS } from './keys';

/** The measure as slots by strings: every crossing is a place for a fret. Arrow keys go from place to place. */
export function Grid({
  draft,
  warned,
  act,
}: {
  readonly draft: Draft;
  /** Strokes that a warning is about. */
  readonly warned: ReadonlySet<number>;
  readonly act: (act: Act) => void;
}) {
  const { measure, spot } = draft;
  const body = useRef<HTMLTableElement>(null);
  const active = useRef(false);
  useEffect(() => {
    const cell = body.current?.querySelector<HTMLElement>(
      `[data-cell="${spot.slot}/${spot.string}"]`,
    );
    if (active.current) cell?.focus();
  }, [spot]);

  const onKeyDown = (event: KeyboardEvent) => {
    const meant = actOfKey(event);
    if (!meant) return;
    event.preventDefault();
    act(meant);
  };
  const slots = Array.from({ length: shownSlots(measure) }, (_, slot) => slot);
  const first = measure.startsAt / measure.meter.slot;
  const end = measure.ticks / measure.meter.slot;
  const held = strokeAtSpot(draft);
  const handOf = (slot: number) =>
    handAt(measure.meter, (first + slot) % slotsIn(measure.meter)) === 'down' ? 'down' : 'up';

  return (
    <table
      ref={body}
      className="grid-bench"
      onKeyDown={onKeyDown}
      onFocus={() => {
        active.current = true;
      }}
      onBlur={() => {
        active.current = false;
      }}
    >
      <caption className="sr-only">
        Slots by strings. Arrow keys move, digits set a fret, Delete takes it away.
      </caption>
      <thead>
        <tr>
          <th scope="row">slot</th>
          {slots.map((slot) => (
            <th key={slot} scope="col" data-over={slot >= end || undefined}>
              {first + slot + 1}
              <span aria-hidden="true">{handOf(slot) === 'down' ? ' ↓' : ' ↑'}</span>
              <span className="sr-only"> hand {handOf(slot)}</span>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {STRINGS.map((string) => (
          <tr key={string}>
            <th scope="row">{string}</th>
            {slots.map((slot) => {
              const index = strokeStartingIn(measure, slot);
              const stroke = index === undefined ? undefined : measure.strokes[index];
              const note = stroke?.notes.find((one) => one.string === string);
              const here = spot.slot === slot && spot.string === string;
              const said = note ? `fret ${note.fret}` : 'empty';
              return (
                <td key={slot} data-held={(index !== undefined && index === held) || undefined}>
                  <button
                    type="button"
                    data-cell={`${slot}/${string}`}
                    data-here={here || undefined}
                    data-warned={(index !== undefined && warned.has(index)) || undefined}
                    tabIndex={here ? 0 : -1}
                    aria-label={`slot ${first + slot + 1}, string ${string}: ${said}`}
                    aria-pressed={here}
                    onClick={() => act({ kind: 'pick', spot: { slot, string } })}
                  >
                    {note && <span>{note.fret}</span>}
                  </button>
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">by</th>
          {slots.map((slot) => {
            const index = strokeStartingIn(measure, slot);
            const by = index === undefined ? undefined : measure.strokes[index]?.by;
            const sounding = index === undefined && slotStart(measure, slot) < measure.ticks;
            return (
              <td key={slot}>
                {STROKE_KEYS.find((kind) => kind.by === by)?.short ?? (sounding ? '·' : '')}
              </td>
            );
          })}
        </tr>
      </tfoot>
    </table>
  );
}
