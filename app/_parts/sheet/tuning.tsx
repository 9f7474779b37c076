import type { Neck } from '../../../lib/tuning';
import { describeTuning } from '../../../lib/words/describe';
import { tuneUp } from '../../../lib/words/tune-up';

/** What the strings are tuned to and how to get there. */
export function Tuning({ neck }: { readonly neck: Neck }) {
  const { strings, turns, checks, capo, easier } = tuneUp(neck);
  return (
    <section>
      <h2>Tune to {describeTuning(neck)}</h2>
      <table className="sheet-strings">
        <tbody>
          <tr>
            <th scope="row">string</th>
            {strings.map(({ string }) => (
              <td key={string}>{string}</td>
            ))}
          </tr>
          <tr>
            <th scope="row">sounds</th>
            {strings.map(({ string, pitch }) => (
              <td key={string}>
                <strong>{pitch.slice(0, -1)}</strong>
                <sub>{pitch.slice(-1)}</sub>
              </td>
            ))}
          </tr>
        </tbody>
      </table>
      {turns.length > 0 && <p>From open G (gDGBD): {turns.join('; ')}.</p>}
      {capo && <p>{capo}</p>}
      <p>
        Check by ear{capo ? ', before the capo is on' : ''}: {checks}.
      </p>
      {easier && <p>{easier}</p>}
    </section>
  );
}
