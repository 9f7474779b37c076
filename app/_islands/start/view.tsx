'use client';

import { useEffect, useRef, useState } from 'react';
import type { Alternative } from '../../../lib/arrange/arrange';
import { SHELF } from '../../../lib/shelf';
import { TUNINGS } from '../../../lib/tuning';
import type { CreateBoard } from '../../../shared/api/create-board';
import { Beside } from './beside';
import type { Creation } from './create';
import { requestBoard } from './create';
import type { FileTune } from './file-tune';
import { tuneOfFile } from './file-tune';
import type { KeptBoard } from './kept-boards';
import { keepBoard, keptBoards } from './kept-boards';
import { PreviewView } from './preview';
import type { Previewed } from './preview-tune';
import { Refused } from './refused';
import type { Setting } from './setting';
import { BEST } from './setting';

const CAPOS = [0, 1, 2, 3, 4, 5];
const EXAMPLE = 'X:1\nT:Name of the tune\nM:4/4\nL:1/8\nK:G\n|: "G"B2 d2 d2 B2 | … :|';

/** The place in a text that a line and a column (from 1) name. */
function offsetOf(text: string, line: number, column: number): number {
  const before = text.split('\n').slice(0, line - 1);
  return before.reduce((sum, one) => sum + one.length + 1, 0) + Math.max(0, column - 1);
}

/** A setting as the server is asked for it. */
function asked({ tuning, capo, transpose }: Setting) {
  return {
    ...(tuning === '' ? {} : { tuning, capo }),
    ...(transpose === undefined ? {} : { transpose }),
  };
}

function offerFrom({ neck, transpose, words }: Alternative) {
  return { tuning: neck.tuning.id, capo: neck.capo, transpose, words };
}

/** Start a board from ABC or from the demo tune, or come back to one that was started here. */
export function StartView() {
  const text = useRef<HTMLTextAreaElement>(null);
  const [abc, setAbc] = useState('');
  const [setting, setSetting] = useState<Setting>(BEST);
  const [picked, setPicked] = useState<FileTune>();
  const [previewed, setPreviewed] = useState<Previewed>();
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<Creation>();
  const [kept, setKept] = useState<readonly KeptBoard[]>([]);
  useEffect(() => setKept(keptBoards()), []);

  const change = (next: string) => {
    setAbc(next);
    setPicked(undefined);
    setPreviewed(undefined);
    setAnswer(undefined);
  };
  const start = async (body: CreateBoard, title: string) => {
    setBusy(true);
    const made = await requestBoard(body);
    setBusy(false);
    setAnswer(made);
    if (made.ok) {
      keepBoard({ board: made.value.board, title, links: made.value.links });
      if (made.value.remarks.length === 0) location.assign(made.value.links.lead);
    } else if (made.line !== undefined && text.current) {
      const at = offsetOf(abc, made.line, made.column ?? 1);
      text.current.focus();
      text.current.setSelectionRange(at, at + 1);
    }
  };
  const take = async (files: FileList | null) => {
    const file = files?.item(0);
    if (!file) return;
    const found = await tuneOfFile(file);
    change('abc' in found.tune ? found.tune.abc : '');
    setPicked('abc' in found.tune ? undefined : found);
  };
  const look = async (wanted: Setting) => {
    setSetting(wanted);
    const { previewTune } = await import('./preview-tune');
    const found = previewTune(abc, wanted);
    setPreviewed(found);
    if (!found.ok) setAnswer({ ...found, offers: found.alternatives.map(offerFrom) });
    else setAnswer(undefined);
  };
  const shelved = SHELF.find((tune) => tune.abc === abc);
  const titleIn = /^T:\s*(.+)$/m.exec(abc)?.[1]?.trim() || 'A tune';

  return (
    <div className="grid grid-cols-[minmax(0,1fr)] items-start gap-6 lg:grid-cols-[minmax(0,3fr)_minmax(0,2fr)]">
      <form
        className="sheet grid grid-cols-[minmax(0,1fr)] gap-4"
        onSubmit={(event) => {
          event.preventDefault();
          void start({ tune: picked?.tune ?? { abc }, ...asked(setting) }, picked?.name ?? titleIn);
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
            onChange={(event) => change(event.target.value)}
            onDragOver={(event) => event.preventDefault()}
            onDrop={(event) => {
              if (event.dataTransfer.files.length === 0) return;
              event.preventDefault();
              void take(event.dataTransfer.files);
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
              if (tune) change(tune.abc);
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
            onChange={(event) => void take(event.target.files)}
          />
        </label>
        <div className="flex flex-wrap gap-4">
          <label className="grid gap-1">
            Tuning
            <select
              className="field"
              value={setting.tuning}
              onChange={(event) => setSetting({ tuning: event.target.value, capo: setting.capo })}
            >
              <option value="">the one it lies best in</option>
              {TUNINGS.map(({ id, name }) => (
                <option key={id} value={id}>
                  {id}, {name}
                </option>
              ))}
            </select>
          </label>
          {setting.tuning && (
            <label className="grid gap-1">
              Capo at fret
              <select
                className="field"
                value={setting.capo}
                onChange={(event) =>
                  setSetting({ tuning: setting.tuning, capo: Number(event.target.value) })
                }
              >
                {CAPOS.map((fret) => (
                  <option key={fret} value={fret}>
                    {fret === 0 ? 'none' : fret}
                  </option>
                ))}
              </select>
            </label>
          )}
        </div>
        {answer && !answer.ok && (
          <Refused
            answer={answer}
            take={({ tuning: id, capo: fret, transpose }) =>
              void start({ tune: { abc }, tuning: id, capo: fret, transpose }, titleIn)
            }
          />
        )}
        {answer?.ok && (
          <div role="status" className="grid gap-2 border-l-4 border-accent pl-3">
            <p>The board is made. Some things had to be left out or moved:</p>
            <ul className="list-disc pl-5">
              {answer.value.remarks.map((remark) => (
                <li key={remark}>{remark}</li>
              ))}
            </ul>
            <a className="button button-first justify-self-start" href={answer.value.links.lead}>
              Open the board
            </a>
          </div>
        )}
        <button
          type="button"
          className="button justify-self-start"
          disabled={abc.trim() === ''}
          onClick={() => look(setting)}
        >
          Look at it first
        </button>
        <button
          type="submit"
          className="button button-first justify-self-start"
          disabled={busy || (abc.trim() === '' && !picked)}
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
          <PreviewView preview={previewed.preview} choose={look} />
        </div>
      )}
      <Beside
        busy={busy}
        kept={kept}
        openDemo={() => start({ tune: { demo: true } }, 'The demo tune')}
      />
    </div>
  );
}
