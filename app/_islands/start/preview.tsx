import { melodyAlone } from '../../../lib/melody-alone';
import type { Tune } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import { describe, describeTuning } from '../../../lib/words/describe';
import { measureNumbers, signsOf } from '../board/sights';
import { HearButton } from '../sound/hear-button';
import { HearStrip } from '../sound/strip';
import { Tab } from '../tab/tab';
import { CorrectMelody } from './correct-melody';
import type { MelodyPreview, Preview } from './preview-tune';
import type { Setting } from './setting';
import type { Correcting } from './use-look';

const OCTAVES = [
  ['all of it an octave higher', 12],
  ['all of it an octave lower', -12],
] as const;
/** Other ways to set the tune are listed, the easiest first, but no more than so many. */
const OTHERS = 6;

/** The tune as it would stand on a board: to be seen and heard, corrected, and tried in another setting, before there is one. */
export function PreviewView({
  preview,
  choose,
  correcting,
}: {
  readonly preview: Preview;
  readonly choose: (setting: Setting) => void;
  readonly correcting: Correcting;
}) {
  const melody = preview.kind === 'melody' ? preview : undefined;
  const tune = preview.kind === 'melody' ? preview.arrangement.tune : preview.tune;
  const remarks = [...preview.remarks, ...(melody?.arrangement.remarks ?? [])];
  return (
    <section className="sheet grid grid-cols-[minmax(0,1fr)] gap-3" aria-labelledby="preview">
      <h2 id="preview" className="text-2xl">
        {tune.title}
      </h2>
      <p>
        {describeTuning(tune.neck)}. {melody ? <Survival melody={melody} /> : 'Taken as it stands.'}
      </p>
      {remarks.length > 0 && (
        <ul className="list-disc pl-5">
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      <HearStrip />
      <PreviewTab tune={tune} melody={melody} />
      {melody && <CorrectMelody preview={melody} correcting={correcting} />}
      {melody && <Others melody={melody} choose={choose} />}
    </section>
  );
}

/** How much of the melody the tab keeps. */
function Survival({ melody }: { readonly melody: MelodyPreview }) {
  const { kept, of, moved, transposed } = melody.arrangement;
  return (
    <>
      {kept} of {of} melody notes are kept
      {moved > 0 && `, ${moved} of them a little beside their place`}
      {transposed !== 0 && `; moved by ${transposed} semitones`}.
    </>
  );
}

/** The tab part by part, to be heard as tab, and as the melody alone. */
function PreviewTab({
  tune,
  melody,
}: {
  readonly tune: Tune;
  readonly melody: MelodyPreview | undefined;
}) {
  const numbers = measureNumbers({ tune });
  return tune.parts.map((part, p) => {
    const signs = signsOf(part, numbers);
    const places = part.measures.map(({ id }) => `[data-preview="${id}"] .tab`);
    const heard = part.measures.map((plain, i) => ({
      measure: measureOf(tune.meter, plain),
      place: places[i] ?? '',
    }));
    const transposed = melody?.arrangement.transposed ?? 0;
    const alone = melody
      ? melodyAlone(melody.melody, p, tune.neck, transposed).map((measure, i) => ({
          measure,
          place: places[i] ?? '',
        }))
      : [];
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
          {melody && (
            <HearButton
              measures={alone}
              neck={tune.neck}
              tempo={tune.tempo}
              words="hear the melody alone"
              what={`of part ${part.letter}`}
            />
          )}
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
  });
}

/** Other tunings, capos, octaves and keys for it, side by side, with what speaks for each. */
function Others({
  melody,
  choose,
}: {
  readonly melody: MelodyPreview;
  readonly choose: (setting: Setting) => void;
}) {
  const { tune, transposed } = melody.arrangement;
  return (
    <>
      <h3>Other settings</h3>
      <p className="flex flex-wrap gap-2">
        {OCTAVES.map(([words, by]) => (
          <button
            key={by}
            type="button"
            className="button button-small"
            onClick={() =>
              choose({
                tuning: tune.neck.tuning.id,
                capo: tune.neck.capo,
                transpose: transposed + by,
              })
            }
          >
            {words}
          </button>
        ))}
      </p>
      <ul className="grid gap-1">
        {melody.alternatives.slice(0, OTHERS).map(({ neck, transpose, words }) => {
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
    </>
  );
}
