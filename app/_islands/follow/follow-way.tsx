import { useEffect, useState } from 'react';
import type { Board } from '../../../shared/board/schema';
import { pointedWords, selectorOf } from './pointed';

/** Takes one's own board to where a leader points. Everybody may leave and come back; who is working on a measure is left alone. */
export function FollowWay({ board, busy }: { readonly board: Board; readonly busy: boolean }) {
  const [follows, setFollows] = useState(true);
  const { pointer } = board;
  const selector = pointer && selectorOf(pointer);
  useEffect(() => {
    if (!follows || selector === undefined) return;
    const place = document.querySelector<HTMLElement>(selector);
    if (!place) return;
    place.setAttribute('data-pointed', '');
    if (!busy) place.scrollIntoView({ block: 'center', behavior: 'instant' });
    return () => place.removeAttribute('data-pointed');
  }, [follows, busy, selector]);
  if (!pointer) return null;
  return (
    <div className="follow-way">
      <p role="status">The leader shows {pointedWords(board, pointer)}.</p>
      <button type="button" className="button" onClick={() => setFollows(!follows)}>
        {follows ? 'Look around on my own' : 'Follow the leader again'}
      </button>
    </div>
  );
}
