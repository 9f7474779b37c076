import type { Metadata } from 'next';
import { positionAt } from '../../../../lib/transport/place';
import { timelineOf } from '../../../../lib/tune';
import { boardPath, playPath } from '../../../../shared/board/paths';
import { planToPlay } from '../../../../shared/board/plan-to-play';
import { host } from '../../../_door/host';
import { visit } from '../../../_door/visit';
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
  const visitor = await visit(id);
  if (!visitor) return <NoEntry />;
  const { board, me } = visitor;
  const asked = (await searchParams).pass;
  const plan = planToPlay(board);
  if (asked === 'all') return <WholePlan board={board} plan={plan} />;
  const timeline = timelineOf(board.tune);
  const nowMs = host().now();
  const position = positionAt(board.transport, timeline, nowMs);
  const pass = passToShow(asked, position, plan.passes.length);
  const again = secondsToNextPass(position, nowMs);
  return (
    <main className="page page-play">
      <noscript>
        <meta httpEquiv="refresh" content={`${again}; url=${playPath(id)}`} />
      </noscript>
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={board.tune} />
        <a className="button" href={boardPath(id)}>
          To the board
        </a>
      </header>
      <PlayView
        me={me}
        rendered={withoutVotes(board)}
        renderedMs={nowMs}
        first={position}
        timeline={timeline}
        shown={pass}
        passes={plan.passes.length}
        sent={pagesOf(bookOf(board, plan), pass, pass + 1)}
      />
      <Cautions sound={true} />
    </main>
  );
}
