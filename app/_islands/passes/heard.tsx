import type { Board } from '../../../shared/board/schema';
import { nameOf } from '../board/sights';
import type { MadePasses } from './message';

/** How much of what each person approved is heard in the whole plan, as a bar each. */
export function HeardShares({ board, made }: { readonly board: Board; readonly made: MadePasses }) {
  return (
    <section className="grid gap-2" aria-labelledby="heard">
      <h2 id="heard">Who is heard</h2>
      <p className="text-soft">
        Of all the times a measure is played in which somebody approves something: how often it is
        something they approve.
      </p>
      <ul className="heard">
        {made.heard.map(({ person, share, approved, played }) => {
          const percent = share === undefined ? undefined : Math.round(share * 100);
          return (
            <li key={person}>
              <span>{nameOf(board.people, person)}</span>
              <span className="busy">
                <span style={{ width: `${percent ?? 0}%` }} />
              </span>
              <span>
                {percent === undefined ? 'approved nothing' : `${percent} %`}
                <span className="text-soft">
                  {' '}
                  {played} of {approved} {approved === 1 ? 'wish' : 'wishes'} played
                </span>
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
