import type { ReactNode } from 'react';
import { containsOf } from '../../../lib/tab/marks';
import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { describe } from '../../../lib/words/describe';
import { Tab } from '../tab/tab';
import { Ring } from './people';

/** Approve it or take that back, with how many do. `vote` is absent for somebody who cannot vote now. */
export function Approve({
  what,
  votes,
  mine,
  elsewhere,
  vote,
}: {
  /** What is approved, for ears: "the plain measure 3". */
  readonly what: string;
  readonly votes: number;
  readonly mine: boolean;
  /** Do I approve it in another browser of mine, where alone that can be taken back? */
  readonly elsewhere: boolean;
  readonly vote: ((approves: boolean) => void) | undefined;
}) {
  const count = (
    <span className="count" data-votes={votes}>
      {votes}
    </span>
  );
  if (!vote && votes === 0) return null;
  if (!vote || elsewhere)
    return (
      <p className="vote-closed">
        {count} {votes === 1 ? 'approves' : 'approve'}
        <span className="sr-only"> {what}</span>
        {mine ? ', you too' : ''}
        {elsewhere ? ', in your other browser' : ''}
      </p>
    );
  return (
    <button
      type="button"
      className="button button-small vote"
      aria-pressed={mine}
      onClick={() => vote(!mine)}
    >
      <span>
        {mine && <span aria-hidden="true">✓ </span>}approve <span className="sr-only">{what}</span>
      </span>{' '}
      {count}
      <span className="sr-only">so far</span>
    </button>
  );
}

/** The leader's own word on a measure. */
export function Overrule({
  chosen,
  what,
  choose,
}: {
  readonly chosen: boolean;
  readonly what: string;
  readonly choose: (chosen: boolean) => void;
}) {
  return (
    <button
      type="button"
      className="button button-small"
      aria-pressed={chosen}
      onClick={() => choose(!chosen)}
    >
      <span>
        choose <span className="sr-only">{what}, whatever the votes</span>
      </span>
    </button>
  );
}

/** A variant under its measure: small tab, whose it is, what it contains, its votes and where it is played. */
export function VariantCard({
  id,
  measure,
  neck,
  author,
  note,
  played,
  children,
}: {
  readonly id: string;
  readonly measure: Measure;
  readonly neck: Neck;
  readonly author: string;
  readonly note: string;
  /** "agreed for passes 2 and 4", or nothing. */
  readonly played: string;
  readonly children: ReactNode;
}) {
  const contains = containsOf(measure);
  return (
    <li className="variant" data-variant={id}>
      <Tab
        measure={measure}
        label={`${author}: ${describe(measure, neck)}`}
        className="tab-small"
      />
      <p className="variant-line">
        <Ring name={author} /> <strong>{author}</strong>
        <span className="text-soft">{contains.join(', ') || 'other notes'}</span>
      </p>
      {note && <p className="text-soft">“{note}”</p>}
      {played && <p className="agreed-mark">{played}</p>}
      <div className="flex flex-wrap gap-1">{children}</div>
    </li>
  );
}
