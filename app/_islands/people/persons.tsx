import { useEffect, useState } from 'react';
import type { ParticipantId } from '../../../lib/units';
import { writeCalled } from '../../../shared/board/leading';
import type { Board, Gone, Person } from '../../../shared/board/schema';
import { MAX_NAME } from '../../../shared/board/values';
import { Ring } from '../board/people';
import { nameOf } from '../board/sights';
import type { Me, Session } from '../session/session';

/** How long a removal can be taken back before it is sent; after that nothing is left to bring back. */
const SECONDS_TO_UNDO = 8;

const ROLE_WORDS: Readonly<Record<Person['role'], string>> = {
  lead: 'leads',
  join: 'takes part',
  watch: 'watches',
};

/** Everybody on the board. `session` is there for leaders only. */
export function Persons({
  board,
  me,
  session,
}: {
  readonly board: Board;
  readonly me: Me;
  readonly session: Session | undefined;
}) {
  return (
    <section className="sheet grid gap-3" aria-labelledby="persons">
      <h2 id="persons">
        {board.people.length === 1 ? '1 person' : `${board.people.length} people`}
      </h2>
      <ul className="grid gap-2">
        {board.people.map((person) => (
          <li key={person.id} className="flex flex-wrap items-center gap-3" data-person={person.id}>
            <Ring name={nameOf(board.people, person.id)} />
            <span>
              <strong>{nameOf(board.people, person.id)}</strong> {ROLE_WORDS[person.role]}
              {person.id === me.participant && ' (you)'}
              {board.orders.called[person.id] !== undefined && ', as a leader calls them'}
            </span>
            {session && <Rename board={board} person={person} session={session} />}
            {session && person.id !== me.participant && (
              <Remove name={nameOf(board.people, person.id)} id={person.id} session={session} />
            )}
          </li>
        ))}
      </ul>
      <GoneList gone={board.gone} session={session} />
    </section>
  );
}

function Rename({
  board,
  person,
  session,
}: {
  readonly board: Board;
  readonly person: Person;
  readonly session: Session;
}) {
  const [text, setText] = useState<string>();
  const name = nameOf(board.people, person.id);
  if (text === undefined)
    return (
      <>
        <button type="button" className="button button-small" onClick={() => setText(person.name)}>
          <span>
            call <span className="sr-only">{name}</span> otherwise
          </span>
        </button>
        {board.orders.called[person.id] !== undefined && (
          <button
            type="button"
            className="button button-small"
            onClick={() => writeCalled(session.lead, person.id, '')}
          >
            <span>
              by their own name <span className="sr-only">again: {name}</span>
            </span>
          </button>
        )}
      </>
    );
  return (
    <form
      className="flex flex-wrap items-center gap-2"
      onSubmit={(event) => {
        event.preventDefault();
        writeCalled(session.lead, person.id, text);
        setText(undefined);
      }}
    >
      <label className="flex flex-wrap items-center gap-2">
        Call them
        <input
          className="field"
          value={text}
          maxLength={MAX_NAME}
          onChange={(event) => setText(event.target.value)}
        />
      </label>
      <button type="submit" className="button button-small">
        <span>so</span>
      </button>
    </form>
  );
}

/** Removing waits a few seconds in which it can be taken back: what is removed cannot be brought back, by nobody. */
function Remove({
  name,
  id,
  session,
}: {
  readonly name: string;
  readonly id: ParticipantId;
  readonly session: Session;
}) {
  const [left, setLeft] = useState<number>();
  useEffect(() => {
    if (left === undefined) return undefined;
    if (left === 0) {
      session.act({ kind: 'remove-person', participant: id });
      setLeft(undefined);
      return undefined;
    }
    const timer = setTimeout(() => setLeft(left - 1), 1000);
    return () => clearTimeout(timer);
  }, [left, id, session]);
  if (left === undefined)
    return (
      <button
        type="button"
        className="button button-small"
        onClick={() => setLeft(SECONDS_TO_UNDO)}
      >
        <span>
          take out <span className="sr-only">{name}, with variants and votes</span>
        </span>
      </button>
    );
  return (
    <span className="flex flex-wrap items-center gap-2" role="status">
      {name} goes, with variants and votes, in {left} s.
      <button
        type="button"
        className="button button-small button-first"
        onClick={() => setLeft(undefined)}
      >
        <span>
          Keep <span className="sr-only">{name}</span>
        </span>
      </button>
    </span>
  );
}

function GoneList({
  gone,
  session,
}: {
  readonly gone: readonly Gone[];
  readonly session: Session | undefined;
}) {
  if (gone.length === 0) return null;
  return (
    <details>
      <summary>
        {gone.length === 1 ? '1 person is' : `${gone.length} people are`} no longer here
      </summary>
      <ul className="mt-2 grid gap-2">
        {gone.map(({ id, atMs, back }) => (
          <li key={id} className="flex flex-wrap items-center gap-3">
            <span>
              Somebody, gone since{' '}
              <time dateTime={new Date(atMs).toISOString()} suppressHydrationWarning>
                {new Date(atMs).toLocaleString()}
              </time>
              . Nothing of theirs is left.{' '}
              {back && 'They may come back by a link, as somebody new.'}
            </span>
            {session && !back && (
              <button
                type="button"
                className="button button-small"
                onClick={() => session.act({ kind: 'let-back', participant: id })}
              >
                <span>let them come back</span>
              </button>
            )}
          </li>
        ))}
      </ul>
    </details>
  );
}
