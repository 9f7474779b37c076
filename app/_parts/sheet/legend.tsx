import { familyById } from '../../../lib/embellish/all';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { SIZES } from '../../../lib/engrave/sizes';
import { svgOf } from '../../../lib/engrave/svg';
import { handAt } from '../../../lib/rhythm';
import type { By, Measure } from '../../../lib/tab/measure';
import type { Tune } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import { Drawing } from '../../_islands/play/drawing';

/** What stands under a stroke of the example: as short as its slot is narrow. */
const LABELS: Readonly<Record<By, string>> = {
  strike: 'strike',
  brush: 'brush',
  thumb: 'thumb',
  hammer: 'hammer',
  pull: 'pull',
  slide: 'slide',
  pluck: 'pluck',
  chop: 'stop',
  rest: 'wait',
};

/** The measure of the tune in which most kinds of strokes are and no rest, if there is one: the best to learn from. */
function exampleOf(tune: Tune): Measure | undefined {
  const whole = tune.parts.flatMap((part) =>
    part.measures.filter(({ startsAt, ticks }) => startsAt === 0 && ticks === tune.meter.measure),
  );
  const kinds = ({ strokes }: Measure) => {
    const all = new Set(strokes.map(({ by }) => by));
    return all.has('rest') ? 0 : all.size;
  };
  return whole
    .map((plain) => measureOf(tune.meter, plain))
    .reduce<Measure | undefined>(
      (best, one) => (best === undefined || kinds(one) > kinds(best) ? one : best),
      undefined,
    );
}

/** A measure of the tune with what the hand does under each of its numbers. */
function Example({ measure }: { readonly measure: Measure }) {
  const picture = engraveMeasure(measure, { barLeft: 'single' });
  const { staff, slots, strokes } = picture.places;
  // What would stand below the stems stands there as words.
  const height = staff.bottom + SIZES.stemEnd + 2;
  const at = (x: number) => ({ left: `${(x / picture.width) * 100}%` });
  return (
    <div className="sheet-example" aria-hidden="true">
      <Drawing html={svgOf({ ...picture, height })} />
      <div className="sheet-example-row">
        {slots.map((x, slot) => (
          <span key={x} style={at(x)}>
            {handAt(measure.meter, slot) === 'down' ? '↓' : '↑'}
          </span>
        ))}
      </div>
      <div className="sheet-example-row">
        {measure.strokes.map(({ at: start, by }, i) => (
          <span key={start} style={at(strokes[i]?.x ?? 0)}>
            {LABELS[by]}
          </span>
        ))}
      </div>
    </div>
  );
}

const SIGNS: readonly (readonly [sign: string, words: string])[] = [
  ['H', familyById('hammer-on').words],
  ['P', familyById('pull-off').words],
  ['SL', familyById('slide').words],
  ['T', 'The thumb drops to an inner string and goes back to the drone.'],
  ['×', familyById('stopped-hand').words],
  ['3', familyById('triplet').words],
];

/** How the tab is read, by a measure of the tune itself. */
export function Legend({ tune }: { readonly tune: Tune }) {
  const example = exampleOf(tune);
  return (
    <section>
      <h2>How to read the tab</h2>
      <div className="sheet-legend">
        <div>
          {example && <Example measure={example} />}
          <p>
            The five lines are the strings, string 1 on top, the short drone string 5 at the bottom.
            A number is the fret to hold there{tune.neck.capo > 0 ? ', counted from the capo' : ''},
            and 0 is open. Numbers on top of one another are brushed together. Stems that a beam
            joins are one bum-ditty. The hand goes down (↓) with the finger and comes up (↑) with
            the thumb, whether it sounds or not.
          </p>
        </div>
        <dl className="sheet-letters">
          {SIGNS.map(([sign, words]) => (
            <div key={sign}>
              <dt>{sign}</dt>
              <dd>{words}</dd>
            </div>
          ))}
          <div>
            <dt>
              <span className="sheet-bracket" aria-hidden="true" />
              <span className="sr-only">bracket</span>
            </dt>
            <dd>A bracket under a measure: it is not as in the plain tune.</dd>
          </div>
        </dl>
      </div>
    </section>
  );
}
