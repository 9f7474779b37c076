import type { Judgement } from '../../../lib/judge';

const TITLES: Readonly<Record<Judgement['id'], string>> = {
  fits: 'It fits',
  playable: 'It can be played',
  tune: 'It is still the tune',
  joins: 'It joins its neighbours',
  level: 'It suits the group',
};

const MARKS: Readonly<
  Record<Judgement['verdict'], { readonly sign: string; readonly word: string }>
> = {
  yes: { sign: '✓', word: 'yes' },
  warn: { sign: '!', word: 'with care' },
  no: { sign: '✗', word: 'no' },
};

/** What a teacher would say, in five judgements. Pointing at one, or choosing it, shows the strokes that it is about. */
export function Judgements({
  judgements,
  lit,
  light,
}: {
  readonly judgements: readonly Judgement[];
  readonly lit: Judgement['id'] | undefined;
  readonly light: (id: Judgement['id'] | undefined) => void;
}) {
  return (
    <ul className="judgements" aria-live="polite">
      {judgements.map(({ id, verdict, words, strokes }) => (
        <li key={id} data-judgement={id} data-verdict={verdict}>
          <span className="verdict" aria-hidden="true">
            {MARKS[verdict].sign}
          </span>
          <div>
            <strong>
              {TITLES[id]}
              <span className="sr-only">: {MARKS[verdict].word}.</span>
            </strong>{' '}
            {words}{' '}
            {verdict !== 'yes' && strokes.length > 0 && (
              <button
                type="button"
                className="show-where"
                aria-pressed={lit === id}
                onClick={() => light(lit === id ? undefined : id)}
              >
                show where
              </button>
            )}
          </div>
        </li>
      ))}
    </ul>
  );
}
