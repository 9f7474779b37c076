'use client';

import { useRouter } from 'next/navigation';
import type { ReactNode } from 'react';
import { useEffect, useRef } from 'react';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Position, Transport } from '../../../lib/transport/transport';
import { playPath } from '../../../shared/board/paths';
import type { Board } from '../../../shared/board/schema';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import { LeadControls } from './lead';
import { Sound } from './sound';
import { usePlace } from './use-place';

/** Where everybody is, in words. */
function placeWords(position: Position, transport: Transport, passes: number): string {
  switch (position.kind) {
    case 'counting':
      return 'Counting in';
    case 'playing': {
      const last = transport.kind === 'playing' && transport.lastPass === position.pass;
      return `Pass ${position.pass} of ${passes}${last ? ', the last one' : ''}`;
    }
    case 'paused':
      return `Waiting in pass ${position.pass}`;
    case 'ended':
      return 'That was it. Well played.';
    case 'stopped':
      return 'Nobody is playing yet.';
  }
}

/** The play page: passes rendered on the server come in as `now` and `next`; here the mark moves and the page turns. */
export function PlayView({
  me,
  rendered,
  timeline,
  shown,
  passes,
  now,
  next,
}: {
  readonly me: Me;
  readonly rendered: Board;
  readonly timeline: Timeline;
  /** The pass that `now` holds. */
  readonly shown: number;
  readonly passes: number;
  readonly now: ReactNode;
  readonly next: ReactNode;
}) {
  const root = useRef<HTMLDivElement>(null);
  const router = useRouter();
  const { state, session } = useSession(me, rendered);
  const { transport, id } = state.board;
  const position = usePlace(root, transport, timeline, session?.now);
  const under = position.kind !== 'stopped' && position.kind !== 'ended';
  const playing = under ? position.pass : undefined;
  const connected = state.connection === 'connected';
  useEffect(() => {
    // While the line is down the coming pass, which is here already, goes on; the one after it comes with the line.
    if (playing !== undefined && playing !== shown && connected)
      router.replace(`${playPath(id)}?pass=${playing}`, { scroll: false });
  }, [playing, shown, connected, id, router]);
  // A plan that was made anew comes onto the page when nobody is playing: nothing changes under anybody's fingers.
  const plan = JSON.stringify(state.board.plan);
  const renderedPlan = JSON.stringify(rendered.plan);
  useEffect(() => {
    if (plan !== renderedPlan && playing === undefined && connected) router.refresh();
  }, [plan, renderedPlan, playing, connected, router]);
  const turned = playing === shown + 1 && next !== undefined;
  return (
    <div ref={root} className="grid gap-5" data-testid="play" data-shown={shown}>
      <Line state={state} session={session} />
      <div className="play-status">
        <p className="play-place" role="status">
          {placeWords(position, transport, passes)}
        </p>
        {position.kind === 'counting' && (
          <p className="play-count" aria-hidden="true">
            {position.beat}
          </p>
        )}
        {session && me.role === 'lead' && (
          <LeadControls
            session={session}
            transport={transport}
            timeline={timeline}
            position={position}
            tempo={state.board.tune.tempo}
            shown={shown}
            passes={passes}
          />
        )}
        {session && <Sound transport={transport} timeline={timeline} now={session.now} />}
      </div>
      <section className="pass-now" hidden={turned} aria-labelledby="pass-now">
        <h2 id="pass-now">Pass {shown}</h2>
        {now}
      </section>
      {next && (
        <section className={turned ? 'pass-now' : 'pass-next'} aria-labelledby="pass-next">
          <h2 id="pass-next">
            {turned ? '' : 'Coming: '}Pass {shown + 1}
          </h2>
          {next}
        </section>
      )}
    </div>
  );
}
