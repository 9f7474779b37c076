import type { SettingOffer } from '../../../shared/api/problem';
import type { Creation } from './create';

/** Why no board was made, where in the ABC, and other settings that would work. */
export function Refused({
  answer,
  take,
}: {
  readonly answer: Extract<Creation, { ok: false }>;
  readonly take: (offer: SettingOffer) => void;
}) {
  const { line, column, words, offers } = answer;
  return (
    <div role="alert" className="grid gap-2 border-l-4 border-accent pl-3">
      <p>
        {line !== undefined && (
          <strong>
            Line {line}
            {column === undefined ? '' : `, column ${column}`}:{' '}
          </strong>
        )}
        {words}
      </p>
      {offers.length > 0 && (
        <ul className="grid gap-2">
          {offers.map((offer) => (
            <li key={`${offer.tuning} ${offer.capo} ${offer.transpose}`}>
              <button type="button" className="button button-quiet" onClick={() => take(offer)}>
                {offer.words}
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
