import { useEffect, useState } from 'react';
import type { Board, Pointer } from '../../../shared/board/schema';
import { writePointer } from '../../../shared/board/write';
import type { Session } from '../session/session';
import { pointedWords, pointerAt } from './pointed';

function same(a: Pointer | undefined, b: Pointer): boolean {
  return a?.measure === b.measure && a.variant === b.variant;
}

/** A leader's switch: while it is on, what the leader touches or tabs to in the music is shown at everybody who follows. */
export function LeadWay({ session, board }: { readonly session: Session; readonly board: Board }) {
  const [leads, setLeads] = useState(false);
  const { pointer } = board;
  useEffect(() => {
    if (!leads) return;
    const point = ({ target }: Event) => {
      const next = target instanceof Element ? pointerAt(board, target) : undefined;
      if (next && !same(pointer, next)) writePointer(session.lead, next);
    };
    document.addEventListener('pointerdown', point);
    document.addEventListener('focusin', point);
    return () => {
      document.removeEventListener('pointerdown', point);
      document.removeEventListener('focusin', point);
    };
  }, [leads, board, pointer, session]);
  const toggle = () => {
    if (leads) writePointer(session.lead, undefined);
    setLeads(!leads);
  };
  return (
    <div className="flex flex-wrap items-center gap-3 pt-2">
      <button type="button" className="button" aria-pressed={leads} onClick={toggle}>
        Lead the way
      </button>
      {leads && (
        <p role="status">
          {pointer
            ? `Everybody who follows sees ${pointedWords(board, pointer)}.`
            : 'Touch a measure or a variant: everybody who follows is taken there.'}
        </p>
      )}
    </div>
  );
}
