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
  vote,
}: {
  /** What is approved, for ears: "the plain measure 3". */
  readonly what: string;
  readonly votes: number;
  readonly mine: boolean;
  readonly vote: ((approves: boolean) => void) | undefined;
}) {
  const count = (
    <span className="count" data-votes={votes}>
      {votes}
      <span className="sr-only"> {votes === 1 ? 'approval' : 'approvals'}</span>
    </span>
  );
  if (!vote && votes === 0) return null;
  if (!vote)
    return (
      <p className="vote-closed">
        {count} {votes === 1 ? 'approves' : 'approve'}
        {mine ? ', you too' : ''}
      </p>
    );
  return (
    <button
      type="button"
      className="button button-small"
      aria-pressed={mine}
      aria-label={`Approve ${what}, ${votes} so far`}
      onClick={() => vote(!mine)}
    >
      {mine ? 'approved' : 'approve'} {count}
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
      aria-label={`Have ${what} played, whatever the votes`}
      onClick={() => choose(!chosen)}
    >
      {chosen ? "leader's choice" : 'choose'}
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
