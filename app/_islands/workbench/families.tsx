import { FAMILIES } from '../../../lib/embellish/all';
import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { Tab } from '../tab/tab';

/** What each embellishment can do to one stroke: what is legal as small tab to take, and for the rest the reason. */
export function Families({
  measure,
  stroke,
  neck,
  take,
}: {
  readonly measure: Measure;
  readonly stroke: number;
  readonly neck: Neck;
  readonly take: (measure: Measure) => void;
}) {
  return (
    <ul className="grid gap-3">
      {FAMILIES.map((family) => {
        const answer = family.apply(measure, stroke, neck);
        return (
          <li key={family.id} className="border-t border-rule pt-2" data-family={family.id}>
            <h5 className="font-bold">
              {family.name}
              {family.letter && <span className="letter">{family.letter}</span>}
            </h5>
            {answer.refusals.map((refusal) => (
              <p key={refusal.code} className="text-soft">
                {refusal.words}
              </p>
            ))}
            <ul className="offers">
              {answer.offers.map((offer) => (
                <li key={offer.words}>
                  <button
                    type="button"
                    className="offer"
                    onClick={() => take({ ...measure, strokes: offer.strokes })}
                  >
                    <Tab measure={{ ...measure, strokes: offer.strokes }} label={offer.words} />
                    <span>{offer.words}</span>
                  </button>
                </li>
              ))}
            </ul>
          </li>
        );
      })}
    </ul>
  );
}
