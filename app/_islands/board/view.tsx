'use client';

import { useRouter } from 'next/navigation';
import { useEffect, useMemo, useState } from 'react';
import { peoplePath } from '../../../shared/board/paths';
import type { Board } from '../../../shared/board/schema';
import { ExerciseBar } from '../exercise/bar';
import { ExercisePanel } from '../exercise/panel';
import { SetExercise } from '../exercise/set';
import { useOver } from '../exercise/use-over';
import { FollowWay } from '../follow/follow-way';
import { LeadWay } from '../follow/lead-way';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import { actsOf } from './acts';
import { Desk } from './desk';
import { LeftOut } from './left-out';
import { Links } from './links';
import type { Opened } from './measure';
import { People } from './people';
import { Score } from './score';
import { hasPutForwardAll, PUT_FORWARD_ALL, votesView } from './sights';
import { StructureBar } from './structure-bar';
import { useStructure } from './use-structure';

/** The live board: who is here, the tune with its variants, and for the leader a desk. */
export function BoardView({ me, rendered }: { readonly me: Me; readonly rendered: Board }) {
  const { state, session } = useSession(me, rendered);
  const [opened, setOpened] = useState<Opened>();
  const { board, here } = state;
  const acts = useMemo(
    () => (session && me.role !== 'watch' ? actsOf(session) : undefined),
    [session, me.role],
  );
  const leads = me.role === 'lead';
  const structure = useStructure(session, board, leads);
  const router = useRouter();
  const { title, tempo } = board.tune;
  const stale = title !== rendered.tune.title || tempo !== rendered.tune.tempo;
  useEffect(() => {
    // The head of the page is the server's; it comes anew when the tune's name or tempo is another.
    if (stale) router.refresh();
  }, [stale, router]);
  const votes = useMemo(() => votesView(board, me.participant), [board, me.participant]);
  const open = (next: Opened | undefined) => {
    setOpened(next);
    acts?.lookAt(next?.measure);
  };
  const { exercise } = board;
  const over = useOver(session, exercise);
  return (
    <div className="grid gap-5" data-live={state.live || undefined}>
      <Line state={state} session={session} />
      <div className="flex flex-wrap items-center justify-between gap-x-6 gap-y-2">
        <People
          people={board.people}
          here={here}
          me={me.participant}
          setName={acts ? acts.setName : undefined}
        />
        {me.role !== 'watch' && (
          <p>
            <a href={peoplePath(board.id)}>
              {leads ? 'People, order and links' : 'What is mine, and my other browser'}
            </a>
          </p>
        )}
      </div>
      {board.orders.frozen && (
        <p className="sheet">The leader has frozen the board for now: only leaders change it.</p>
      )}
      {leads && acts && (
        <Desk board={board} acts={acts} structure={structure}>
          {session && !exercise && (
            <SetExercise board={board} now={session.now} set={acts.setExercise} />
          )}
          {session && <LeadWay session={session} board={board} />}
        </Desk>
      )}
      {leads && <Links board={board.id} />}
      {exercise && (
        <ExercisePanel
          board={board}
          exercise={exercise}
          me={me.participant}
          leads={leads}
          acts={acts}
          over={over}
        />
      )}
      {!leads && <FollowWay board={board} busy={opened !== undefined} />}
      {board.voting === 'agreed' && !leads && (
        <p className="text-soft">
          The vote is closed: what is agreed is marked. You can still put variants forward for the
          next time.
        </p>
      )}
      <LeftOut board={board} />
      {acts && hasPutForwardAll(board, me.participant) && (
        <p className="text-soft">{PUT_FORWARD_ALL}</p>
      )}
      {structure && <StructureBar structure={structure} />}
      <Score
        sight={{ board, here, votes, me: me.participant, leads, acts, structure, over }}
        opened={opened}
        open={open}
      />
      {exercise && session && !over && (
        <ExerciseBar session={session} inTime={state.inTime} board={board} exercise={exercise} />
      )}
    </div>
  );
}
