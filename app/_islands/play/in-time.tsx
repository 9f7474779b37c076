import { useEffect, useState } from 'react';
import type { Ms } from '../../../lib/units';
import type { Connection } from '../session/line';
import type { PlaySource } from './source';

/** Beyond this people no longer hear themselves as together. Source: ensemble threshold of 20 to 30 ms, Schuett 2002. */
const TOGETHER_MS: Ms = 25;
const LOOK_MS: Ms = 1000;

/** How good the beat of this page is, in words; `within` undefined while the server's time is not known. */
export function timeWords(within: Ms | undefined, connection: Connection): string {
  if (within === undefined) return 'Finding the beat';
  const ms = Math.max(1, Math.ceil(within));
  if (connection === 'lost') return `On its own clock, in time within ${ms} ms`;
  if (within <= TOGETHER_MS) return `In time within ${ms} ms`;
  return `Only in time within ${ms} ms: the line is slow`;
}

/** Says how good the beat of this page is. */
export function InTime({
  source,
  connection,
}: {
  readonly source: Pick<PlaySource, 'clock'>;
  readonly connection: Connection;
}) {
  const [within, setWithin] = useState<Ms>();
  useEffect(() => {
    const look = () => setWithin(source.clock()?.within);
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [source]);
  return (
    <p className="play-time" data-within={within?.toFixed(1)}>
      {timeWords(within, connection)}
    </p>
  );
}
