'use client';

import { pastPath } from '../../../shared/board/paths';
import type { Board } from '../../../shared/board/schema';
import { When } from '../past/when';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import { Mine } from './mine';
import { NewLinks } from './new-links';
import { Order } from './order';
import { OtherBrowser } from './other-browser';
import { Persons } from './persons';
import { Variants } from './variants';

/** Who is on the board; for leaders what they may order; for everybody what is theirs. */
export function PeopleView({ me, rendered }: { readonly me: Me; readonly rendered: Board }) {
  const { state, session } = useSession(me, rendered);
  const { board } = state;
  const leader = me.role === 'lead' && !state.gone ? session : undefined;
  return (
    <div className="grid gap-5" data-live={state.live || undefined}>
      <Line state={state} session={session} />
      {board.returned && (
        <p className="sheet">
          A leader returned this board to how it was: <When atMs={board.returned.toMs} />. That was
          done <When atMs={board.returned.atMs} />. What people put forward and voted stayed.
        </p>
      )}
      {leader && (
        <p>
          <a className="button" href={pastPath(board.id)}>
            How the board was
          </a>
        </p>
      )}
      {leader && <Order board={board} session={leader} />}
      <Persons board={board} me={me} session={leader} />
      {leader && <Variants board={board} session={leader} />}
      {leader && <NewLinks board={board} state={state} session={leader} />}
      {me.role !== 'watch' && session && !state.gone && (
        <>
          <OtherBrowser board={board.id} code={state.code} session={session} />
          {state.live && <Mine me={me} session={session} />}
        </>
      )}
    </div>
  );
}
