'use client';

import { useEffect, useRef, useState } from 'react';
import { SHELF } from '../../../lib/shelf';
import { TUNINGS } from '../../../lib/tuning';
import type { CreateBoard } from '../../../shared/api/create-board';
import { boardPath } from '../../../shared/board/paths';
import type { Creation } from './create';
import { requestBoard } from './create';
import type { KeptBoard } from './kept-boards';
import { keepBoard, keptBoards } from './kept-boards';
import { Refused } from './refused';

const CAPOS = [0, 1, 2, 3, 4, 5];
const EXAMPLE = 'X:1\nT:Name of the tune\nM:4/4\nL:1/8\nK:G\n|: "G"B2 d2 d2 B2 | … :|';

/** The place in a text that a line and a column (from 1) name. */
function offsetOf(text: string, line: number, column: number): number {
  const before = text.split('\n').slice(0, line - 1);
  return before.reduce((sum, one) => sum + one.length + 1, 0) + Math.max(0, column - 1);
}

/** Start a board from ABC or from the demo tune, or come back to one that was started here. */
export function StartView() {
  const text = useRef<HTMLTextAreaElement>(null);
  const [abc, setAbc] = useState('');
  const [tuning, setTuning] = useState('');
  const [capo, setCapo] = useState(0);
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<Creation>();
  const [kept, setKept] = useState<readonly KeptBoard[]>([]);
  useEffect(() => setKept(keptBoards()), []);

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
    if (file) setAbc(await file.text());
  };
  const shelved = SHELF.find((tune) => tune.abc === abc);
  const titleIn = /^T:\s*(.+)$/m.exec(abc)?.[1]?.trim() || 'A tune';

  return (
    <div className="grid grid-cols-[minmax(0,1fr)] items-start gap-6 lg:grid-cols-[minmax(0,3fr)_minmax(0,2fr)]">
      <form
        className="sheet grid grid-cols-[minmax(0,1fr)] gap-4"
        onSubmit={(event) => {
          event.preventDefault();
          void start({ tune: { abc }, ...(tuning ? { tuning, capo } : {}) }, titleIn);
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
            onChange={(event) => setAbc(event.target.value)}
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
              if (tune) setAbc(tune.abc);
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
          or choose a file
          <input
            type="file"
            className="field"
            accept=".abc,.txt,text/plain,text/vnd.abc"
            onChange={(event) => void take(event.target.files)}
          />
        </label>
        <div className="flex flex-wrap gap-4">
          <label className="grid gap-1">
            Tuning
            <select
              className="field"
              value={tuning}
              onChange={(event) => setTuning(event.target.value)}
            >
              <option value="">the one it lies best in</option>
              {TUNINGS.map(({ id, name }) => (
                <option key={id} value={id}>
                  {id}, {name}
                </option>
              ))}
            </select>
          </label>
          {tuning && (
            <label className="grid gap-1">
              Capo at fret
              <select
                className="field"
                value={capo}
                onChange={(event) => setCapo(Number(event.target.value))}
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
          type="submit"
          className="button button-first justify-self-start"
          disabled={busy || abc.trim() === ''}
        >
          {busy ? 'Setting it for the banjo…' : 'Start a board'}
        </button>
      </form>
      <div className="grid gap-6">
        <section className="sheet grid gap-3">
          <h2 className="text-2xl">Look around first</h2>
          <p>
            A tune of our own with an invented workshop around it: a few variants are up, and the
            vote is open.
          </p>
          <button
            type="button"
            className="button justify-self-start"
            disabled={busy}
            onClick={() => void start({ tune: { demo: true } }, 'The demo tune')}
          >
            Open the demo
          </button>
        </section>
        <section className="sheet grid gap-3">
          <h2 className="text-2xl">Started on this browser</h2>
          {kept.length === 0 ? (
            <p className="text-soft">
              Boards that you start here are listed here. To join somebody's board, open the link
              they gave you.
            </p>
          ) : (
            <ul className="grid gap-1">
              {kept.map((board) => (
                <li key={board.board}>
                  <a href={boardPath(board.board)}>{board.title}</a>
                </li>
              ))}
            </ul>
          )}
        </section>
      </div>
    </div>
  );
}
