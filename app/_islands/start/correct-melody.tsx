import type { KeyboardEvent } from 'react';
import { useEffect, useRef, useState } from 'react';
import type { MelodyMeasure } from '../../../lib/melody';
import { melodyAlone } from '../../../lib/melody-alone';
import type { MelodySound, NotePlace } from '../../../lib/melody-edit';
import * as edit from '../../../lib/melody-edit';
import { pitchName } from '../../../lib/pitch';
import { slotWords } from '../../../lib/words/lengths';
import { HearButton } from '../sound/hear-button';
import type { MelodyPreview } from './preview-tune';
import type { Correcting } from './use-look';

type Deed = 'up' | 'down' | 'octave-up' | 'octave-down' | 'longer' | 'shorter' | 'cut' | 'rest';

/** Keys that do the same as the buttons. */
const KEYS: Readonly<Record<string, Deed>> = {
  ArrowUp: 'up',
  ArrowDown: 'down',
  '+': 'longer',
  '=': 'longer',
  '-': 'shorter',
  Delete: 'rest',
  Backspace: 'rest',
};

/** A pitch for a note that is put in: the one before it in the tune, or a middle one. */
const MIDDLE = 67;

/** The melody note by note, to be put right before a board is made; the tab above follows. */
export function CorrectMelody({
  preview,
  correcting,
}: {
  readonly preview: MelodyPreview;
  readonly correcting: Correcting;
}) {
  const { melody, arrangement, stuck } = preview;
  const { meter } = melody;
  const [place, setPlace] = useState<NotePlace>();
  const list = useRef<HTMLFieldSetElement>(null);
  const active = useRef(false);
  const key = place && `${place.part}/${place.measure}/${place.at}`;
  useEffect(() => {
    if (active.current && key)
      list.current?.querySelector<HTMLElement>(`[data-sound="${key}"]`)?.focus();
  }, [key]);
  const note = place && edit.noteAt(melody, place);
  const measure = place && melody.parts[place.part]?.measures[place.measure];
  const sound = measure && edit.soundsOf(measure).find(({ at }) => at === place.at);

  const act = (deed: Deed) => {
    if (!place || !sound) return;
    const { midi, length } = sound;
    const { correct } = correcting;
    if (midi === undefined) {
      if (deed === 'rest') correct(edit.withNoteIn(melody, place, before(place), length));
      return;
    }
    const shifts = { up: 1, down: -1, 'octave-up': 12, 'octave-down': -12 } as const;
    if (deed === 'longer') correct(edit.withNoteLength(melody, place, length + meter.slot));
    else if (deed === 'shorter') correct(edit.withNoteLength(melody, place, length - meter.slot));
    else if (deed === 'cut') correct(edit.withNoteCut(melody, place, Math.round(length / 2)));
    else if (deed === 'rest') correct(edit.withoutNoteAt(melody, place));
    else correct(edit.withPitch(melody, place, midi + shifts[deed]));
  };
  const before = ({ part, measure: m, at }: NotePlace): number => {
    const measures = melody.parts[part]?.measures.slice(0, m + 1) ?? [];
    const notes = measures.flatMap((one, i) => one.notes.filter((other) => i < m || other.at < at));
    return notes.at(-1)?.midi ?? MIDDLE;
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const undo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'z';
    const deed = event.ctrlKey || event.metaKey || event.altKey ? undefined : KEYS[event.key];
    if (!undo && !deed) return;
    event.preventDefault();
    if (undo) correcting.undo();
    else if (deed) act(deed);
  };
  const one =
    measure && place
      ? melodyAlone(melody, place.part, arrangement.tune.neck, arrangement.transposed)[
          place.measure
        ]
      : undefined;

  return (
    <details>
      <summary>Correct the melody</summary>
      <fieldset
        ref={list}
        className="grid min-w-0 gap-3 pt-2"
        onKeyDown={onKeyDown}
        onFocus={() => {
          active.current = true;
        }}
        onBlur={() => {
          active.current = false;
        }}
        aria-label="The melody, note by note. Arrow up and down change a note, plus and minus its length, Delete makes it a rest."
      >
        {melody.parts.map((part, p) => (
          <ol key={part.letter} className="melody-part" aria-label={`Part ${part.letter}`}>
            {part.measures.map((each, m) => (
              <MeasureRow
                key={`${part.letter}${placeName(m)}`}
                measure={each}
                slot={meter.slot}
                named={`part ${part.letter}, ${placeName(m)}`}
                keyOf={({ at }) => `${p}/${m}/${at}`}
                here={key}
                choose={({ at }) => setPlace({ part: p, measure: m, at })}
              />
            ))}
          </ol>
        ))}
        <div className="tools" aria-live="polite">
          {!sound && <p className="text-soft">Choose a note to change it.</p>}
          {sound && (
            <fieldset>
              <legend>
                {note ? pitchName(note.midi) : 'A rest'}, {slotWords(sound.length, meter.slot)}
              </legend>
              {note ? (
                <>
                  <Tool words="higher" keys="↑" act={() => act('up')} />
                  <Tool words="lower" keys="↓" act={() => act('down')} />
                  <Tool words="an octave higher" act={() => act('octave-up')} />
                  <Tool words="an octave lower" act={() => act('octave-down')} />
                  <Tool words="longer" keys="+" act={() => act('longer')} />
                  <Tool words="shorter" keys="−" act={() => act('shorter')} />
                  <Tool words="two of it" act={() => act('cut')} />
                  <Tool words="a rest instead" keys="Del" act={() => act('rest')} />
                </>
              ) : (
                <Tool words="a note instead" keys="Del" act={() => act('rest')} />
              )}
              {one && (
                <HearButton
                  measures={[{ measure: one, place: '' }]}
                  neck={arrangement.tune.neck}
                  tempo={arrangement.tune.tempo}
                  words="hear"
                  what="this measure of the melody"
                />
              )}
            </fieldset>
          )}
          <p>
            <button
              type="button"
              className="button button-quiet"
              aria-disabled={!correcting.canUndo}
              onClick={correcting.undo}
            >
              take back the last correction <kbd>Ctrl Z</kbd>
            </button>
          </p>
          {stuck && <p className="reason">{stuck} The tab above is still the one before.</p>}
        </div>
      </fieldset>
    </details>
  );
}

/** Measures of a melody have no name but their place. */
function placeName(index: number): string {
  return `measure ${index + 1}`;
}

function Tool({
  words,
  keys,
  act,
}: {
  readonly words: string;
  readonly keys?: string;
  readonly act: () => void;
}) {
  return (
    <button type="button" className="button" onClick={act}>
      {words} {keys && <kbd>{keys}</kbd>}
    </button>
  );
}

/** One measure of the melody: its notes and rests, each as wide as it lasts. */
function MeasureRow({
  measure,
  slot,
  named,
  keyOf,
  here,
  choose,
}: {
  readonly measure: MelodyMeasure;
  readonly slot: number;
  readonly named: string;
  readonly keyOf: (sound: MelodySound) => string;
  readonly here: string | undefined;
  readonly choose: (sound: MelodySound) => void;
}) {
  return (
    <li className="melody-measure" aria-label={named}>
      {edit.soundsOf(measure).map((sound) => {
        const { at, length, midi, tied } = sound;
        const name = midi === undefined ? 'rest' : pitchName(midi);
        return (
          <button
            key={at}
            type="button"
            data-sound={keyOf(sound)}
            aria-pressed={here === keyOf(sound)}
            aria-label={`${name}, ${slotWords(length, slot)}${tied ? ', tied to the one before' : ''}`}
            style={{ flexGrow: length }}
            onClick={() => choose(sound)}
          >
            {midi === undefined ? '–' : tied ? `(${name})` : name}
          </button>
        );
      })}
    </li>
  );
}
