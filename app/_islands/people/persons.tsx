import { useState } from 'react';
import type { ParticipantId } from '../../../lib/units';
import { writeCalled } from '../../../shared/board/leading';
import { countedAs } from '../../../shared/board/same';
import type { Board, Gone, Person } from '../../../shared/board/schema';
import { MAX_NAME } from '../../../shared/board/values';
import { Ring } from '../board/people';
import { nameOf } from '../board/sights';
import type { Me, Session } from '../session/session';
import { CountAs, Counted } from './counted';
import { Remove } from './remove';

const ROLE_WORDS: Readonly<Record<Person['role'], string>> = {
  lead: 'leads',
  join: 'takes part',
  watch: 'watches',
};

/** Somebody in all browsers that are counted as theirs, the counted ones first. */
function allOf(board: Board, { id }: Person): readonly ParticipantId[] {
  const counted = board.people.filter((one) => one.counted?.as === id);
  return [...counted.map((one) => one.id), id];
}

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
  const persons = board.people.filter(({ counted }) => counted === undefined);
  return (
    <section className="sheet grid gap-3" aria-labelledby="persons">
      <h2 id="persons">{persons.length === 1 ? '1 person' : `${persons.length} people`}</h2>
      <ul className="grid gap-2">
        {persons.map((person) => (
          <li key={person.id} className="flex flex-wrap items-center gap-3" data-person={person.id}>
            <Ring name={nameOf(board.people, person.id)} />
            <span>
              <strong>{nameOf(board.people, person.id)}</strong> {ROLE_WORDS[person.role]}
              {person.id === countedAs(board, me.participant) && ' (you)'}
              {board.orders.called[person.id] !== undefined && ', as a leader calls them'}
            </span>
            {session && <Rename board={board} person={person} session={session} />}
            {session && person.id !== me.participant && (
              <Remove
                name={nameOf(board.people, person.id)}
                ids={allOf(board, person)}
                session={session}
              />
            )}
            {session && <CountAs board={board} person={person} session={session} />}
            <Counted board={board} person={person} me={me} session={session} />
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
