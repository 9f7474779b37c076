'use client';

import { useRouter } from 'next/navigation';
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Position } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import { playPath } from '../../../shared/board/paths';
import type { Board } from '../../../shared/board/schema';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import type { Book } from './book';
import { inOrder } from './book';
import type { Music } from './heard';
import { InTime } from './in-time';
import { LeadControls } from './lead';
import { keepInView } from './mark';
import { Passes } from './passes';
import { PrintedPlan } from './print';
import { Sound } from './sound';
import { Turn } from './turn';
import { useAwake } from './use-awake';
import { useBook } from './use-book';
import { usePlace } from './use-place';
import { useSame } from './use-same';
import { leftWords, placeWords } from './words';

/** The play page: passes are drawn by the server; here the mark moves and the page turns. */
export function PlayView({
  me,
  rendered,
  renderedMs,
  first,
  timeline,
  shown,
  passes,
  sent,
}: {
  readonly me: Me;
  readonly rendered: Board;
  /** Server time at which the page was rendered, and where everybody was then. */
  readonly renderedMs: Ms;
  readonly first: Position;
  readonly timeline: Timeline;
  /** The pass that is shown while nobody plays. */
  readonly shown: number;
  readonly passes: number;
  /** The book as far as it came with the page: the pass that is shown, and the next one. */
  readonly sent: Book;
}) {
  const root = useRef<HTMLDivElement>(null);
  const router = useRouter();
  const { state, session } = useSession(me, rendered, renderedMs);
  const { id } = state.board;
  const transport = useSame(state.board.transport);
  const line = useSame(timeline);
  const position = usePlace(root, transport, line, first, state.inTime ? session?.now : undefined);
  const music = useMemo<Music>(
    () => ({
      tune: rendered.tune,
      timeline: line,
      ...(rendered.plan ? { plan: rendered.plan } : {}),
    }),
    [rendered, line],
  );
  const under = position.kind !== 'stopped' && position.kind !== 'ended';
  const [turned, setTurned] = useState<number>();
  const at = Math.min(passes, under ? position.pass : (turned ?? shown));
  const connected = state.connection === 'connected';
  useAwake(under);

  // What stands above the played line has changed its height: a pass is gone, or the count.
  useLayoutEffect(() => {
    if (under && at > 0 && position.kind !== 'paused' && root.current) keepInView(root.current);
  }, [under, at, position.kind]);

  // A plan that was made anew comes onto the page when nobody is playing: nothing changes under anybody's fingers.
  const { plan } = state.board;
  const planKey = useMemo(() => JSON.stringify(plan ?? null), [plan]);
  const renderedKey = useMemo(() => JSON.stringify(rendered.plan ?? null), [rendered]);
  useEffect(() => {
    if (planKey !== renderedKey && !under && connected) router.refresh();
  }, [planKey, renderedKey, under, connected, router]);
  const book = useBook(`${playPath(id)}/book`, renderedKey, connected);

  // A page that is loaded again comes back to the pass it showed.
  useEffect(() => {
    if (!under && turned !== undefined)
      window.history.replaceState(null, '', `${playPath(id)}?pass=${turned}`);
  }, [under, turned, id]);
  const turn = (pass: number) => {
    if (!book) return false;
    setTurned(pass);
    return true;
  };
  const left = leftWords(position, transport, session?.now() ?? renderedMs);
  return (
    <div
      ref={root}
      className="grid gap-5"
      data-testid="play"
      data-shown={at}
      data-book={book !== undefined}
    >
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
        {left && <p className="play-left">{left}</p>}
        {session && <InTime session={session} connection={state.connection} />}
      </div>
      {session && <Sound transport={transport} music={music} now={session.now} />}
      {!under && <Turn board={id} at={at} passes={passes} turn={turn} />}
      <Passes at={at} passes={passes} books={inOrder(sent, book)} />
      {book && <PrintedPlan book={book} />}
      {session && me.role === 'lead' && (
        <div className="play-lead">
          <LeadControls
            session={session}
            transport={transport}
            timeline={line}
            position={position}
            tempo={state.board.tune.tempo}
            shown={at}
            passes={passes}
          />
        </div>
      )}
    </div>
  );
}
