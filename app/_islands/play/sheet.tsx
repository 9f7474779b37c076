import type { ParticipantId } from '../../../lib/units';
import type { BookVisit, Leaf } from './book';
import { Drawing } from './drawing';

declare module 'react' {
  interface CSSProperties {
    /** How tall a measure is, as a part of its width. */
    readonly '--tall'?: string;
  }
}

/** Whose a measure is: whose turn it is round the circle, or whose variant is played. Undefined where it is everybody's plain one. */
function Whose({
  visit: { by, turn },
  mine,
}: {
  readonly visit: BookVisit;
  readonly mine: boolean;
}) {
  if (!turn) return by && <span className="visit-by">{by}</span>;
  return (
    <span className="visit-by" data-turn="">
      {mine ? 'Your turn' : turn.name || 'somebody'}
    </span>
  );
}

/**
 * One pass as tab, in playing order, each time through a part a block, each measure with whose it is.
 * @param me who reads it; absent for a page that is everybody's
 */
export function Sheet({
  leaf: { pass, parts, drawings, tall },
  me,
}: {
  readonly leaf: Leaf;
  readonly me?: ParticipantId;
}) {
  return (
    <div className="pass" data-pass={pass} style={{ '--tall': tall.toFixed(3) }}>
      {parts.map(({ letter, visits }) => (
        <section key={visits[0]?.index} className="part" aria-label={`Part ${letter}`}>
          <h3 className="part-letter">{letter}</h3>
          <ol className="line">
            {visits.map((visit) => {
              const { index, drawing, turn } = visit;
              const mine = turn !== undefined && turn.id === me;
              return (
                <li
                  key={index}
                  className="visit"
                  data-visit={index}
                  data-mine={mine || undefined}
                  data-slots={drawings[drawing]?.slots}
                >
                  <Drawing html={drawings[drawing]?.html ?? ''} />
                  <Whose visit={visit} mine={mine} />
                </li>
              );
            })}
          </ol>
        </section>
      ))}
    </div>
  );
}
