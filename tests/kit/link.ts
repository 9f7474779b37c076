import type { Exchange } from '../../lib/clock';
import type { Ms } from '../../lib/units';

/** Numbers from 0 to 1 that are the same in every run. Source: mulberry32, public domain. */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** A way to a server and a clock that runs off, as they are simulated. */
export interface Link {
  /** Least time out and back, ms. */
  readonly out: Ms;
  readonly back: Ms;
  /** What may come on top each way, ms; the same for every size up to it. */
  readonly jitter: Ms;
  /** How much our clock runs fast, ms a ms. */
  readonly drift: number;
  /** Server time minus our time at server time 0. */
  readonly offset: Ms;
}

/** Our clock at a server time. */
export function localAt({ drift, offset }: Link, serverMs: Ms): Ms {
  return serverMs * (1 + drift) - offset;
}

/** The exchange that is asked for at a server time. */
export function exchangeAt(link: Link, serverMs: Ms, random: () => number): Exchange {
  const t2 = serverMs + link.out + link.jitter * random();
  const t3 = t2 + 0.2 * random();
  const heard = t3 + link.back + link.jitter * random();
  return { t1: localAt(link, serverMs), t2, t3, t4: localAt(link, heard) };
}
