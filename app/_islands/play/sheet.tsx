import type { Leaf } from './book';
import { Drawing } from './drawing';

/** One pass as tab, in playing order, each time through a part a block, each measure with whose variant it is. */
export function Sheet({ leaf: { pass, parts, drawings } }: { readonly leaf: Leaf }) {
  return (
    <div className="pass" data-pass={pass}>
      {parts.map(({ letter, visits }) => (
        <section key={visits[0]?.index} className="part" aria-label={`Part ${letter}`}>
          <h3 className="part-letter">{letter}</h3>
          <ol className="line">
            {visits.map(({ index, drawing, by }) => (
              <li
                key={index}
                className="visit"
                data-visit={index}
                data-slots={drawings[drawing]?.slots}
              >
                <Drawing html={drawings[drawing]?.html ?? ''} />
                {by && <span className="visit-by">{by}</span>}
              </li>
            ))}
          </ol>
        </section>
      ))}
    </div>
  );
}
