import type { RefObject } from 'react';
import { useEffect, useRef, useState } from 'react';
import type { Alternative } from '../../../lib/arrange/arrange';
import type { CreateBoard } from '../../../shared/api/create-board';
import type { SettingOffer } from '../../../shared/api/problem';
import type { Creation } from './create';
import { requestBoard } from './create';
import type { FileTune } from './file-tune';
import { tuneOfFile } from './file-tune';
import type { KeptBoard } from './kept-boards';
import { keepBoard, keptBoards } from './kept-boards';
import type { Previewed } from './preview-tune';
import type { Choices, Chosen } from './read-tune';
import type { Setting } from './setting';
import { BEST } from './setting';
import type { Look } from './use-look';
import { useLook } from './use-look';

const NOTHING: Choices = { question: '', options: [] };

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

function offerFrom({ neck, transpose, words }: Alternative): SettingOffer {
  return { tuning: neck.tuning.id, capo: neck.capo, transpose, words };
}

/** What somebody has given to start a board from, how far they have come with it, and what they can do. */
export interface Starting {
  readonly abc: string;
  readonly picked: FileTune | undefined;
  readonly setting: Setting;
  readonly choices: Choices;
  readonly chosen: Chosen;
  readonly looking: Look;
  readonly busy: boolean;
  readonly answer: Creation | undefined;
  readonly kept: readonly KeptBoard[];
  readonly isEmpty: boolean;
  readonly change: (abc: string) => void;
  readonly take: (files: FileList | null) => Promise<void>;
  readonly choose: (chosen: Chosen) => void;
  /** Another tuning, capo or octave; a tune that is looked at is set anew at once. */
  readonly set: (setting: Setting) => Promise<void>;
  readonly look: () => Promise<void>;
  readonly takeOffer: (offer: SettingOffer) => Promise<void>;
  readonly begin: () => Promise<void>;
  readonly openDemo: () => Promise<void>;
}

/** @param text where ABC is pasted: an error is shown there */
export function useStart(text: RefObject<HTMLTextAreaElement | null>): Starting {
  const [abc, setAbc] = useState('');
  const [picked, setPicked] = useState<FileTune>();
  const [setting, setSetting] = useState<Setting>(BEST);
  const [choices, setChoices] = useState<Choices>(NOTHING);
  const [chosen, setChosen] = useState<Chosen>('');
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<Creation>();
  const [kept, setKept] = useState<readonly KeptBoard[]>([]);
  const looking = useLook();
  const latest = useRef<CreateBoard['tune']>({ abc: '' });
  useEffect(() => setKept(keptBoards()), []);

  const source = picked?.tune ?? { abc };
  const title = picked?.name ?? (/^T:\s*(.+)$/m.exec(abc)?.[1]?.trim() || 'A tune');

  const forget = (nowChosen: Chosen) => {
    looking.forget();
    setAnswer(undefined);
    setChosen(nowChosen);
  };
  const give = async (next: string, file: FileTune | undefined) => {
    const tune = file?.tune ?? { abc: next };
    latest.current = tune;
    setAbc(next);
    setPicked(file);
    setChoices(NOTHING);
    forget('');
    const { choicesIn } = await import('./preview-tune');
    if (latest.current === tune) setChoices(choicesIn(tune));
  };
  const point = (line: number, column: number | undefined) => {
    if (!text.current || abc === '') return;
    const at = offsetOf(abc, line, column ?? 1);
    text.current.focus();
    text.current.setSelectionRange(at, at + 1);
  };
  const start = async (body: CreateBoard) => {
    setBusy(true);
    const made = await requestBoard(body);
    setBusy(false);
    setAnswer(made);
    if (made.ok) {
      const name = looking.title ?? title;
      keepBoard({ board: made.value.board, title: name, links: made.value.links });
      if (made.value.remarks.length === 0) location.assign(made.value.links.lead);
    } else if (made.line !== undefined) point(made.line, made.column);
  };
  const begin = async (wanted: Setting) => {
    if (looking.wanted) return start({ tune: looking.wanted });
    const { sourceWith } = await import('./preview-tune');
    return start({ tune: sourceWith(source, chosen), ...asked(wanted) });
  };
  const answerTo = (found: Previewed | undefined) => {
    const refused = found?.ok === false ? found : undefined;
    setAnswer(refused && { ...refused, offers: refused.alternatives.map(offerFrom) });
    if (refused?.line !== undefined) point(refused.line, refused.column);
  };
  const set = async (wanted: Setting) => {
    setSetting(wanted);
    if (!looking.previewed?.ok) return;
    const found = await looking.reset(wanted);
    answerTo(found);
    // What cannot be set so stays as it was, in sight and in the form.
    if (found?.ok === false) setSetting(setting);
  };
  return {
    abc,
    picked,
    setting,
    choices,
    chosen,
    looking,
    busy,
    answer,
    kept,
    isEmpty: abc.trim() === '' && !picked,
    change: (next) => void give(next, undefined),
    take: async (files) => {
      const file = files?.item(0);
      if (!file) return;
      const found = await tuneOfFile(file);
      if ('abc' in found.tune) await give(found.tune.abc, undefined);
      else await give('', found);
    },
    choose: forget,
    set,
    look: async () => answerTo(await looking.look(source, chosen, setting)),
    takeOffer: async ({ tuning, capo, transpose }) => {
      const wanted = { tuning, capo, transpose };
      if (looking.previewed?.ok) return set(wanted);
      setSetting(wanted);
      return begin(wanted);
    },
    begin: () => begin(setting),
    openDemo: () => start({ tune: { demo: true } }),
  };
}
