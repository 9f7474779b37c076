import type { Metadata } from 'next';
import { boardPath, playPath } from '../../../../shared/board/paths';
import { playStateOf } from '../../../../shared/board/play-state';
import { stageOf } from '../../../../shared/board/played';
import { host } from '../../../_door/host';
import { visitToPlay } from '../../../_door/visit';
import { PlayView } from '../../../_islands/play/view';
import { bookOf, pagesOf } from '../../../_parts/book';
import { Cautions } from '../../../_parts/cautions';
import { NoEntry } from '../../../_parts/no-entry';
import { TuneHead } from '../../../_parts/tune-head';
import { WholePlan } from '../../../_parts/whole-plan';
import { passToShow, secondsToNextPass } from './pass-to-show';
import { withoutVotes } from './without-votes';

export const metadata: Metadata = { title: 'Play together' };

/** The passes, played together: rendered here, readable without scripts; the island moves the mark and turns the page. */
export default async function PlayPage({
  params,
  searchParams,
}: {
  readonly params: Promise<{ readonly board: string }>;
  readonly searchParams: Promise<{ readonly pass?: string | readonly string[] }>;
}) {
  const { board: id } = await params;
  const visitor = await visitToPlay(id);
  if (!visitor) return <NoEntry board={id} />;
  const { board, me } = visitor;
  const asked = (await searchParams).pass;
  const nowMs = host().now();
  const { played, position } = stageOf(board, nowMs);
  const passes = played.plan.passes.length;
  if (asked === 'all') return <WholePlan board={board.id} played={played} />;
  const pass = passToShow(asked, position, passes);
  const again = secondsToNextPass(position, nowMs);
  return (
    <main className="page page-play">
      <noscript>
        <meta httpEquiv="refresh" content={`${again}; url=${playPath(id)}`} />
      </noscript>
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={played.tune} />
        <a className="button" href={boardPath(id)}>
          To the board
        </a>
      </header>
      <PlayView
        me={me}
        rendered={{
          board: board.id,
          play: playStateOf(board, me.participant),
          ms: nowMs,
          ...(me.role === 'lead' ? { whole: withoutVotes(board) } : {}),
        }}
        first={position}
        shown={pass}
        sent={pagesOf(bookOf(played), pass, pass + 1)}
      />
      <Cautions sound={true} />
    </main>
  );
}
