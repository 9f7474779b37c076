import type { RefObject } from 'react';
import { useEffect, useState } from 'react';
import { positionAt } from '../../../lib/transport/place';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Position, Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import { markPlace } from './mark';

/** What the words on the page depend on: it changes at a count, a pass, a start and an end, not with every slot. */
function wordsKey(position: Position): string {
  switch (position.kind) {
    case 'stopped':
      return 'stopped';
    case 'counting':
      return `counting ${position.pass} ${position.beat}`;
    case 'playing':
      return `playing ${position.pass} ${position.tempo}`;
    case 'paused':
      return `paused ${position.pass} ${position.visit}`;
    case 'ended':
      return 'ended';
  }
}

/**
 * Follows the transport by the server's time: moves the mark under `root` with every frame and gives the position back whenever the
 * words on the page change with it. What is due is worked out from the time at every frame, so a slow screen drops frames and no beat.
 * @param first the position that the server saw when it rendered the page
 * @param now undefined while the server's time is not known
 */
export function usePlace(
  root: RefObject<HTMLElement | null>,
  transport: Transport,
  timeline: Timeline,
  first: Position,
  now: (() => Ms) | undefined,
): Position {
  const [position, setPosition] = useState<Position>(first);
  useEffect(() => {
    if (!now) return;
    const calm = window.matchMedia('(prefers-reduced-motion: reduce)');
    const { meter, offsets } = timeline;
    let frame = 0;
    let last = '';
    const step = () => {
      const place = positionAt(transport, timeline, now());
      const visit = 'visit' in place ? place.visit : 0;
      if (root.current)
        markPlace(root.current, place, {
          slotsBefore: (offsets[visit] ?? 0) / meter.slot,
          slotsAStep: calm.matches ? meter.beat / meter.slot : 1,
        });
      const key = wordsKey(place);
      if (key !== last) setPosition(place);
      last = key;
      frame = requestAnimationFrame(step);
    };
    step();
    return () => cancelAnimationFrame(frame);
  }, [root, transport, timeline, now]);
  return position;
}
