import { useState } from 'react';
import { isParticipantId } from '../../../shared/board/roles';
import { writeSame } from '../../../shared/board/same';
import type { Board, Person } from '../../../shared/board/schema';
import { nameOf } from '../board/sights';
import type { Me, Session } from '../session/session';
import { Remove } from './remove';

/** For leaders: counts somebody who came with two browsers as one person, with one voice. */
export function CountAs({
  board,
  person,
  session,
}: {
  readonly board: Board;
  readonly person: Person;
  readonly session: Session;
}) {
  const [choosing, setChoosing] = useState(false);
  const others = board.people.filter(
    ({ id, counted }) => id !== person.id && counted === undefined,
  );
  const name = nameOf(board.people, person.id);
  if (others.length === 0) return null;
  if (!choosing)
    return (
      <button type="button" className="button button-small" onClick={() => setChoosing(true)}>
        <span>
          is the same person as … <span className="sr-only">({name})</span>
        </span>
      </button>
    );
  return (
    <label className="flex flex-wrap items-center gap-2">
      {name} is the same person as
      <select
        className="field"
        defaultValue=""
        onChange={(event) => {
          const { value } = event.target;
          if (isParticipantId(value)) writeSame(session.lead, person.id, value);
          setChoosing(false);
        }}
      >
        <option value="">nobody else</option>
        {others.map(({ id }) => (
          <option key={id} value={id}>
            {nameOf(board.people, id)} ({id.slice(0, 4)})
          </option>
        ))}
      </select>
    </label>
  );
}

/** Who is counted as this person; for leaders with the way back. */
export function Counted({
  board,
  person,
  me,
  session,
}: {
  readonly board: Board;
  readonly person: Person;
  readonly me: Me;
  readonly session: Session | undefined;
}) {
  const counted = board.people.filter((one) => one.counted?.as === person.id);
  if (counted.length === 0) return null;
  return (
    <ul className="grid w-full gap-2 pl-8">
      {counted.map((one) => {
        const name = one.counted?.name || 'somebody';
        return (
          <li key={one.id} className="flex flex-wrap items-center gap-3" data-counted={one.id}>
            <span>
              also came as <strong>{name}</strong>
              {one.id === me.participant && ' (this browser)'}; a leader counts both as one person
              with one voice
            </span>
            {session && (
              <button
                type="button"
                className="button button-small"
                onClick={() => writeSame(session.lead, one.id, undefined)}
              >
                <span>
                  count {name} <span className="sr-only">as a person of their own</span> apart again
                </span>
              </button>
            )}
            {session && one.id !== me.participant && (
              <Remove name={name} ids={[one.id]} session={session} />
            )}
          </li>
        );
      })}
    </ul>
  );
}
