'use client';

import { useRouter } from 'next/navigation';
import { lazy, Suspense, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { Position } from '../../../lib/transport/transport';
import { timelineOf } from '../../../lib/tune';
import type { Ms } from '../../../lib/units';
import { playPath } from '../../../shared/board/paths';
import { isUnderWay, nameOfPlayed, playedOn } from '../../../shared/board/played';
import { countedAs } from '../../../shared/board/same';
import type { Board } from '../../../shared/board/schema';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import type { Book } from './book';
import { inOrder } from './book';
import type { Music } from './heard';
import { InTime } from './in-time';
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

/** Only leaders need them, and only once scripts run. */
const LeadControls = lazy(async () => ({ default: (await import('./lead')).LeadControls }));

/** The play page: passes are drawn by the server; here the mark moves and the page turns. */
export function PlayView({
  me,
  rendered,
  renderedMs,
  first,
  shown,
  sent,
}: {
  readonly me: Me;
  readonly rendered: Board;
  /** Server time at which the page was rendered, and where everybody was then. */
  readonly renderedMs: Ms;
  readonly first: Position;
  /** The pass that is shown while nobody plays. */
  readonly shown: number;
  /** The book as far as it came with the page: the pass that is shown, and the next one. */
  readonly sent: Book;
}) {
  const root = useRef<HTMLDivElement>(null);
  const router = useRouter();
  const { state, session } = useSession(me, rendered, renderedMs);
  const { id } = state.board;
  const { tune, plan } = state.board;
  const transport = useSame(state.board.transport);
  const going = useSame(playedOn(state.board));
  const agreed = useSame(playedOn({ tune, ...(plan ? { plan } : {}) }));
  const timeline = useMemo(() => timelineOf(going.tune), [going]);
  const music = useMemo<Music>(() => ({ played: going, timeline }), [going, timeline]);
  const now = state.inTime ? session?.now : undefined;
  const position = usePlace(root, transport, timeline, first, now);
  // What is agreed meanwhile comes onto the page when nobody is playing: nothing changes under anybody's fingers.
  const under = isUnderWay(position);
  const played = under ? going : agreed;
  const passes = played.plan.passes.length;
  const [turned, setTurned] = useState<number>();
  const at = Math.min(passes, under ? position.pass : (turned ?? shown));
  const connected = state.connection === 'connected';
  useAwake(under);

  // What stands above the played line has changed its height: a pass is gone, or the count.
  useLayoutEffect(() => {
    if (under && at > 0 && position.kind !== 'paused' && root.current) keepInView(root.current);
  }, [under, at, position.kind]);

  const name = useMemo(() => nameOfPlayed(played), [played]);
  useEffect(() => {
    // The head of the page is the server's.
    if (name !== sent.name && connected) router.refresh();
  }, [name, sent.name, connected, router]);
  const book = useBook(`${playPath(id)}/book`, name, connected);
  const books = inOrder(name, sent, book);

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
      data-book={book?.name === name}
    >
      <Line state={state} session={session} />
      <div className="play-status">
        <p className="play-place" role="status">
          {placeWords(position, transport, passes)}
          {under && going.circle && ', round the circle'}
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
      <Passes at={at} passes={passes} books={books} me={countedAs(state.board, me.participant)} />
      {book && <PrintedPlan book={books[0] ?? book} me={countedAs(state.board, me.participant)} />}
      {session && me.role === 'lead' && (
        <div className="play-lead">
          <Suspense>
            <LeadControls
              session={session}
              transport={transport}
              timeline={timeline}
              position={position}
              board={state.board}
              here={state.here}
              shown={at}
              passes={passes}
            />
          </Suspense>
        </div>
      )}
    </div>
  );
}
