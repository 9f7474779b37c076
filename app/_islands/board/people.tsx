import { useState } from 'react';
import type { ParticipantId } from '../../../lib/units';
import type { Person } from '../../../shared/board/schema';
import { MAX_NAME } from '../../../shared/board/values';
import type { Presence } from '../../../shared/wire/presence';
import { initialsOf, nameOf, othersOf } from './sights';

/** A person as a ring with initials; the whole name is there for ears and on pointing. */
export function Ring({ name }: { readonly name: string }) {
  return (
    <span className="ring" title={name}>
      <span aria-hidden="true">{initialsOf(name)}</span>
      <span className="sr-only">{name}</span>
    </span>
  );
}

/** Who is here now, and a place to say who I am. */
export function People({
  people,
  here,
  me,
  setName,
}: {
  readonly people: readonly Person[];
  readonly here: readonly Presence[];
  readonly me: ParticipantId;
  readonly setName: ((name: string) => void) | undefined;
}) {
  const mine = people.find((person) => person.id === me)?.name ?? '';
  const others = othersOf({ people }, here, me);
  return (
    <div className="flex flex-wrap items-center gap-x-6 gap-y-2">
      {setName && <NameForm key={mine} name={mine} setName={setName} />}
      <p className="flex flex-wrap items-center gap-2" data-testid="here">
        <span className="text-soft">
          {others.length === 0 ? 'Nobody else is here yet.' : 'Here with you:'}
        </span>
        {others.map((participant) => (
          <span key={participant} className="flex items-center gap-1">
            <Ring name={nameOf(people, participant)} />
            {nameOf(people, participant)}
          </span>
        ))}
      </p>
    </div>
  );
}

function NameForm({
  name,
  setName,
}: {
  readonly name: string;
  readonly setName: (name: string) => void;
}) {
  const [editing, setEditing] = useState(name === '');
  const [text, setText] = useState(name);
  if (!editing)
    return (
      <p className="flex items-center gap-2">
        <Ring name={name} /> You are <strong>{name}</strong>
        <button type="button" className="button button-quiet" onClick={() => setEditing(true)}>
          change
        </button>
      </p>
    );
  return (
    <form
      className="flex flex-wrap items-center gap-2"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim() === '') return;
        setName(text);
        setEditing(false);
      }}
    >
      <label className="flex flex-wrap items-center gap-2">
        What do they call you?
        <input
          className="field"
          value={text}
          maxLength={MAX_NAME}
          autoComplete="given-name"
          onChange={(event) => setText(event.target.value)}
        />
      </label>
      <button type="submit" className="button">
        That's me
      </button>
    </form>
  );
}
