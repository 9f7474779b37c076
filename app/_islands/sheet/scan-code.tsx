'use client';

import { useCallback, useEffect, useState } from 'react';
import type { CodeRole } from '../../../shared/api/link-code';
import { keptBoards } from '../start/kept-boards';
import { askCode } from './ask-code';
import { CodeFigure } from './code-figure';
import { useLinkOnSheet } from './link-on-sheet';

/**
 * The code of a link on the sheet. The server keeps no links, so it comes from this browser, where the board was started on it, or from
 * whoever pastes it.
 */
export function ScanCode({ board, role }: { readonly board: string; readonly role: CodeRole }) {
  const { code, put } = useLinkOnSheet();
  const [isAsking, setAsking] = useState(true);
  const [refused, setRefused] = useState('');
  const [link, setLink] = useState('');
  const draw = useCallback(
    async (address: string) => {
      const answer = await askCode(board, address);
      if (typeof answer === 'string') setRefused(answer);
      else put(answer);
    },
    [board, put],
  );
  useEffect(() => {
    const kept = keptBoards().find((one) => one.board === board)?.links[role];
    const drawn = kept === undefined ? undefined : draw(new URL(kept, location.href).href);
    void Promise.resolve(drawn).then(() => setAsking(false));
  }, [board, role, draw]);
  if (code) return <CodeFigure code={code} />;
  if (isAsking) return null;
  return (
    <form
      className="sheet-wishes"
      onSubmit={(event) => {
        event.preventDefault();
        void draw(link.trim());
      }}
    >
      <label className="grid gap-1">
        This browser does not know the {role} link of this board. Paste it, and its code stands
        here:
        <input
          className="field"
          type="url"
          required
          value={link}
          placeholder="https://…/join/…"
          onChange={(event) => setLink(event.target.value)}
        />
      </label>
      <div className="flex flex-wrap items-center gap-3">
        <button type="submit" className="button">
          Draw the code
        </button>
        {refused && <span role="alert">{refused}</span>}
      </div>
    </form>
  );
}
