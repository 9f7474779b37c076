'use client';

import { useRouter } from 'next/navigation';
import { lazy, Suspense, useEffect, useLayoutEffect, useRef, useState } from 'react';
import { isUnderWay } from '../../../lib/transport/place';
import type { Position } from '../../../lib/transport/transport';
import { playPath } from '../../../shared/board/paths';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import type { Book } from './book';
import { inOrder } from './book';
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
import type { Rendered } from './use-source';
import { useSource } from './use-source';
import { leftWords, placeWords } from './words';

/** Only leaders need them, and only once scripts run. */
const LeadControls = lazy(async () => ({ default: (await import('./leading')).LeadControls }));

/** The play page: passes are drawn by the server; here the mark moves and the page turns. */
export function PlayView({
  me,
  rendered,
  first,
  shown,
  sent,
}: {
  readonly me: Me;
  readonly rendered: Rendered;
  /** Where everybody was when the page was rendered. */
  readonly first: Position;
  /** The pass that is shown while nobody plays. */
  readonly shown: number;
  /** The book as far as it came with the page: the pass that is shown, and the next one. */
  readonly sent: Book;
}) {
  const root = useRef<HTMLDivElement>(null);
  const router = useRouter();
  const { state, source } = useSource(me, rendered);
  const { board: id } = rendered;
  const { going, agreed, as } = state.play;
  const transport = useSame(state.play.transport);
  const timeline = useSame(going.timeline);
  const now = state.inTime ? source?.now : undefined;
  const position = usePlace(root, transport, timeline, first, now);
  // What is agreed meanwhile comes onto the page when nobody is playing: nothing changes under anybody's fingers.
  const under = isUnderWay(position);
  const { name, passes } = under ? going : agreed;
  const [turned, setTurned] = useState<number>();
  const at = Math.min(passes, under ? position.pass : (turned ?? shown));
  const connected = state.connection === 'connected';
  useAwake(under);

  // What stands above the played line has changed its height: a pass is gone, or the count.
  useLayoutEffect(() => {
    if (under && at > 0 && position.kind !== 'paused' && root.current) keepInView(root.current);
  }, [under, at, position.kind]);

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
  const left = leftWords(position, transport, source?.now() ?? rendered.ms);
  return (
    <div
      ref={root}
      className="grid gap-5"
      data-testid="play"
      data-shown={at}
      data-book={book?.name === name}
    >
      <Line state={state} session={source} />
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
        {source && <InTime source={source} connection={state.connection} />}
      </div>
      {source && (
        <Sound
          board={id}
          transport={transport}
          going={going.name}
          own={state.lead?.going}
          timeline={timeline}
          connected={connected}
          now={source.now}
        />
      )}
      {!under && <Turn board={id} at={at} passes={passes} turn={turn} />}
      <Passes at={at} passes={passes} books={books} me={as} />
      {book && <PrintedPlan book={books[0] ?? book} me={as} />}
      {state.lead && (
        <div className="play-lead">
          <Suspense>
            <LeadControls
              session={state.lead.session}
              transport={transport}
              timeline={timeline}
              position={position}
              board={state.lead.board}
              here={state.lead.here}
              shown={at}
              passes={passes}
            />
          </Suspense>
        </div>
      )}
    </div>
  );
}
