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
      return `counting ${position.beat}`;
    case 'playing':
      return `playing ${position.pass}`;
    case 'paused':
      return `paused ${position.pass} ${position.visit}`;
    case 'ended':
      return 'ended';
  }
}

/**
 * Follows the transport by the server's time: moves the mark under `root` with every frame and gives the position back whenever the
 * words on the page change with it.
 */
export function usePlace(
  root: RefObject<HTMLElement | null>,
  transport: Transport,
  timeline: Timeline,
  now: (() => Ms) | undefined,
): Position {
  const [position, setPosition] = useState<Position>({ kind: 'stopped' });
  useEffect(() => {
    if (!now) return;
    let frame = 0;
    let last = '';
    const step = () => {
      const place = positionAt(transport, timeline, now());
      const offset =
        place.kind === 'playing' ? (timeline.offsets[place.visit] ?? 0) / timeline.meter.slot : 0;
      if (root.current) markPlace(root.current, place, offset);
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
