import type { Board } from '../../../shared/board/schema';
import { measureNumbers } from '../board/sights';
import type { MadePasses } from './message';
import { bareSpots, SPOT_ROWS } from './sights';

/** For each melody note of the tune, which embellishments have been proposed and which will be played: where nothing has been tried yet. */
export function BareSpots({ board, made }: { readonly board: Board; readonly made: MadePasses }) {
  const spots = bareSpots(board, made.plan);
  const numbers = measureNumbers(board);
  const bare = spots.filter(({ proposed }) => proposed.size === 0).length;
  return (
    <div className="grid gap-2">
      <p>
        {bare} of {spots.length} melody notes have nothing on them yet. In the table a ring is
        proposed, a number in a disc is played in so many passes, a dot is bare.
      </p>
      <section className="pass-scroll" tabIndex={0} aria-label="Embellishments by melody notes">
        <table className="spots">
          <caption className="sr-only">Embellishments by melody notes</caption>
          <thead>
            <tr>
              <th scope="col">Measure and note</th>
              {spots.map(({ measure, note }) => (
                <th key={`${measure} ${note}`} scope="col">
                  {note === 1 ? <b>{numbers.get(measure) || 'p'}</b> : null}
                  <span className="text-soft"> {note}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {SPOT_ROWS.map((content) => (
              <tr key={content}>
                <th scope="row">{content}</th>
                {spots.map(({ measure, note, proposed, played }) => {
                  const passes = played.get(content) ?? 0;
                  const word =
                    passes > 0
                      ? `played in ${passes}`
                      : proposed.has(content)
                        ? 'proposed'
                        : 'bare';
                  return (
                    <td key={`${measure} ${note}`} data-spot={word.split(' ')[0]}>
                      <span aria-hidden="true">
                        {passes > 0 ? passes : proposed.has(content) ? '○' : '·'}
                      </span>
                      <span className="sr-only">{word}</span>
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </div>
  );
}
