import { useEffect, useState } from 'react';
import type { Ms } from '../../../lib/units';

/** A short spell. Common practice, no source. */
const SPELL: Ms = 10 * 60_000;
const LOOK_EVERY: Ms = 5000;

/** After a spell of playing, one word about it; once a visit, and it can be put away. */
export function Spell({ playing }: { readonly playing: boolean }) {
  const [playedMs, setPlayedMs] = useState(0);
  const [away, setAway] = useState(false);
  useEffect(() => {
    if (!playing || away) return;
    let since = performance.now();
    const timer = setInterval(() => {
      const now = performance.now();
      const passed = now - since;
      since = now;
      setPlayedMs((played) => played + passed);
    }, LOOK_EVERY);
    return () => clearInterval(timer);
  }, [playing, away]);
  const due = playedMs >= SPELL && !away;
  return (
    <div role="status" className="empty:hidden">
      {due && (
        <p className="sheet flex flex-wrap items-center gap-3">
          Ten minutes at it: a good moment to put the banjo down and shake out your hands.
          <button type="button" className="button button-quiet" onClick={() => setAway(true)}>
            I have read it
          </button>
        </p>
      )}
    </div>
  );
}
