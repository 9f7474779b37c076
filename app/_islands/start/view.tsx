'use client';

import { useRef } from 'react';
import { SHELF } from '../../../lib/shelf';
import { Beside } from './beside';
import { ChooseSetting } from './choose-setting';
import { Made } from './made';
import { PreviewView } from './preview';
import { Refused } from './refused';
import type { Starting } from './use-start';
import { useStart } from './use-start';

const EXAMPLE = 'X:1\nT:Name of the tune\nM:4/4\nL:1/8\nK:G\n|: "G"B2 d2 d2 B2 | … :|';

/** Start a board from a tune or from the demo, or come back to one that was started here. */
export function StartView() {
  const text = useRef<HTMLTextAreaElement>(null);
  const starting = useStart(text);
  const { abc, picked, setting, looking, busy, answer, isEmpty } = starting;
  const { previewed } = looking;
  const shelved = SHELF.find((tune) => tune.abc === abc);

  return (
    <div className="grid grid-cols-[minmax(0,1fr)] items-start gap-6 lg:grid-cols-[minmax(0,3fr)_minmax(0,2fr)]">
      <form
        className="sheet grid grid-cols-[minmax(0,1fr)] gap-4"
        onSubmit={(event) => {
          event.preventDefault();
          void starting.begin();
        }}
      >
        <h2 className="text-2xl">Start from a tune</h2>
        <label className="grid gap-1">
          Paste it as ABC, or drop a file here
          <textarea
            ref={text}
            className="field font-mono"
            rows={11}
            spellCheck={false}
            placeholder={EXAMPLE}
            value={abc}
            onChange={(event) => starting.change(event.target.value)}
            onDragOver={(event) => event.preventDefault()}
            onDrop={(event) => {
              if (event.dataTransfer.files.length === 0) return;
              event.preventDefault();
              void starting.take(event.dataTransfer.files);
            }}
          />
        </label>
        <label className="grid gap-1">
          or take one from the shelf
          <select
            className="field"
            value={shelved?.id ?? ''}
            onChange={(event) => {
              const tune = SHELF.find(({ id }) => id === event.target.value);
              if (tune) starting.change(tune.abc);
            }}
          >
            <option value="">tunes that everybody knows</option>
            {SHELF.map(({ id, title }) => (
              <option key={id} value={id}>
                {title}
              </option>
            ))}
          </select>
        </label>
        {shelved && <p className="text-soft">{shelved.origin}</p>}
        <label className="grid gap-1">
          or choose a file: ABC, MusicXML, MIDI, or a board that was saved
          <input
            type="file"
            className="field"
            accept=".abc,.txt,.musicxml,.xml,.mxl,.mid,.midi,.json,text/plain,text/vnd.abc"
            onChange={(event) => void starting.take(event.target.files)}
          />
        </label>
        <ChooseTune starting={starting} />
        <ChooseSetting setting={setting} set={starting.set} />
        {answer && !answer.ok && <Refused answer={answer} take={starting.takeOffer} />}
        {answer?.ok && <Made made={answer.value} />}
        <button
          type="button"
          className="button justify-self-start"
          disabled={isEmpty}
          onClick={starting.look}
        >
          Look at it first
        </button>
        <button
          type="submit"
          className="button button-first justify-self-start"
          disabled={busy || isEmpty}
        >
          {busy
            ? 'Setting it for the banjo…'
            : picked
              ? `Start a board from ${picked.name}`
              : 'Start a board'}
        </button>
      </form>
      {previewed?.ok && (
        <div className="lg:col-span-2 lg:row-start-2">
          <PreviewView
            preview={previewed.preview}
            choose={starting.set}
            correcting={looking.correcting}
          />
        </div>
      )}
      <Beside busy={busy} kept={starting.kept} openDemo={starting.openDemo} />
    </div>
  );
}

/** Which tune of a text, part of a score or track of a file; nothing where there is only one. */
function ChooseTune({ starting }: { readonly starting: Starting }) {
  const { choices, chosen, choose } = starting;
  if (choices.options.length === 0) return null;
  return (
    <label className="grid gap-1">
      {choices.question}
      <select className="field" value={chosen} onChange={(event) => choose(event.target.value)}>
        {choices.options.map(({ value, words }) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}
