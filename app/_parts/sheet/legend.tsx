import { FAMILIES } from '../../../lib/embellish/all';
import { pitchName } from '../../../lib/pitch';
import type { Neck } from '../../../lib/tuning';
import { openMidi, writtenTuning } from '../../../lib/tuning';
import { describeTuning } from '../../../lib/words/describe';

/** How to get the banjo into the tuning, and how the tab is read. */
export function Legend({ neck }: { readonly neck: Neck }) {
  const strings = ([5, 4, 3, 2, 1] as const).map(
    (string) => `${string} to ${pitchName(openMidi({ ...neck, capo: 0, drone: 0 }, string))}`,
  );
  return (
    <div className="grid gap-2">
      <p>
        <strong>Tune to {describeTuning(neck)}:</strong> string {strings.join(', ')}.
        {neck.capo > 0 &&
          ` Then put a capo at fret ${neck.capo} and raise string 5 by as much, so that it sounds ${writtenTuning(neck)}.`}
      </p>
      <p>
        The five lines are the strings: string 1 on top, the short drone string 5 at the bottom. A
        number on a line is the fret to hold there, counted from the capo; 0 is open. Numbers on top
        of one another are brushed together. A stem under a number is a stroke; strokes under one
        beam share a bum-ditty. The hand goes down on slots 1, 3, 5 and 7 and comes up, with the
        thumb, on 2, 4, 6 and 8.
      </p>
      <dl className="sheet-letters">
        {FAMILIES.filter(({ letter }) => ['H', 'P', 'SL'].includes(letter)).map(
          ({ letter, name, words }) => (
            <div key={letter}>
              <dt>{letter}</dt>
              <dd>
                {name}: {words}
              </dd>
            </div>
          ),
        )}
        <div>
          <dt>T</dt>
          <dd>the thumb drops to an inner string and goes back to the drone.</dd>
        </div>
      </dl>
    </div>
  );
}
