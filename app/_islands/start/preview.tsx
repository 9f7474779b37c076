import { measureOf } from '../../../lib/tune';
import { describe, describeTuning } from '../../../lib/words/describe';
import { measureNumbers, signsOf } from '../board/sights';
import { HearButton } from '../sound/hear-button';
import { HearStrip } from '../sound/strip';
import { Tab } from '../tab/tab';
import type { Preview } from './preview-tune';
import type { Setting } from './setting';

/** Other ways to set the tune are listed, the easiest first, but no more than so many. */
const OTHERS = 6;

/** The tune as it would stand on a board: to be seen and heard, and to be tried in another setting, before there is one. */
export function PreviewView({
  preview,
  choose,
}: {
  readonly preview: Preview;
  readonly choose: (setting: Setting) => void;
}) {
  const { arrangement, remarks, alternatives } = preview;
  const { tune, kept, of, moved, transposed } = arrangement;
  const numbers = measureNumbers({ tune });
  return (
    <section className="sheet grid grid-cols-[minmax(0,1fr)] gap-3" aria-labelledby="preview">
      <h2 id="preview" className="text-2xl">
        {tune.title}
      </h2>
      <p>
        {describeTuning(tune.neck)}. {kept} of {of} melody notes are kept
        {moved > 0 && `, ${moved} of them a little beside their place`}
        {transposed !== 0 && `; moved by ${transposed} semitones`}.
      </p>
      {remarks.length > 0 && (
        <ul className="list-disc pl-5">
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      <HearStrip />
      {tune.parts.map((part) => {
        const signs = signsOf(part, numbers);
        const heard = part.measures.map((plain) => ({
          measure: measureOf(tune.meter, plain),
          place: `[data-preview="${plain.id}"] .tab`,
        }));
        return (
          <div key={part.letter} className="sheet-part">
            <h3>{part.letter}</h3>
            <div>
              <HearButton
                measures={heard}
                neck={tune.neck}
                tempo={tune.tempo}
                what={`part ${part.letter}`}
              />
              <ol className="sheet-line">
                {part.measures.map((plain, index) => {
                  const measure = measureOf(tune.meter, plain);
                  return (
                    <li key={plain.id} data-preview={plain.id}>
                      <Tab
                        measure={measure}
                        label={describe(measure, tune.neck)}
                        options={signs[index] ?? {}}
                      />
                    </li>
                  );
                })}
              </ol>
            </div>
          </div>
        );
      })}
      <h3>Other settings</h3>
      <ul className="grid gap-1">
        {alternatives.slice(0, OTHERS).map(({ neck, transpose, words }) => {
          const same =
            neck.tuning.id === tune.neck.tuning.id &&
            neck.capo === tune.neck.capo &&
            transpose === transposed;
          return (
            <li key={`${neck.tuning.id} ${neck.capo} ${transpose}`}>
              <button
                type="button"
                className="button button-small"
                aria-pressed={same}
                onClick={() => choose({ tuning: neck.tuning.id, capo: neck.capo, transpose })}
              >
                {words}
              </button>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
