import { useState } from 'react';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { Tab } from '../tab/tab';

/**
 * What each embellishment can do to one stroke. All families are named with how many ways there are; the one that is chosen shows
 * them as small tab to take, or the reason why there is none.
 */
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
  const [asked, setAsked] = useState<FamilyId>();
  const answers = FAMILIES.map((family) => ({
    family,
    answer: family.apply(measure, stroke, neck),
  }));
  const shown =
    answers.find(({ family }) => family.id === asked) ??
    answers.find(({ answer }) => answer.offers.length > 0) ??
    answers[0];
  return (
    <>
      <div className="flex flex-wrap gap-1">
        {answers.map(({ family, answer }) => (
          <button
            key={family.id}
            type="button"
            className="button button-small"
            data-family={family.id}
            data-refused={answer.offers.length === 0 || undefined}
            aria-pressed={family.id === shown?.family.id}
            onClick={() => setAsked(family.id)}
          >
            {family.name}{' '}
            <span className="count">
              {answer.offers.length}
              <span className="sr-only"> {answer.offers.length === 1 ? 'way' : 'ways'}</span>
            </span>
          </button>
        ))}
      </div>
      {shown && (
        <section className="grid gap-2" aria-label={shown.family.name} aria-live="polite">
          <p>{shown.family.words}</p>
          {shown.answer.refusals.map((refusal) => (
            <p key={refusal.code} className="refusal">
              Not here: {refusal.words}
            </p>
          ))}
          <ul className="offers">
            {shown.answer.offers.map((offer) => (
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
        </section>
      )}
    </>
  );
}
