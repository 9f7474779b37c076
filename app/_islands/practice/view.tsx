'use client';

import { useMemo } from 'react';
import type { Board } from '../../../shared/board/schema';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import { useDeck } from '../sound/use-deck';
import { Bar } from './bar';
import { Choose } from './choose';
import { Loud } from './loud';
import { Music } from './music';
import { Pace } from './pace';
import { Spell } from './spell';
import { TakeAway } from './take-away';
import { useKeys } from './use-keys';
import { usePractice } from './use-practice';

/** Practising alone: choose a piece of the tune, hear it slowly, and get it up to speed. */
export function PracticeView({ me, rendered }: { readonly me: Me; readonly rendered: Board }) {
  const { state, session } = useSession(me, rendered);
  const { board } = state;
  const practice = usePractice(board);
  const { settings, lesson, playing, heard, change, toggle, again } = practice;
  const { silence } = useDeck();
  useKeys(useMemo(() => ({ ' ': toggle, n: again }), [toggle, again]));
  // Of several passes the one that is heard; where every second round is alone, two rounds are one passage.
  const turn = Math.floor((heard?.index ?? 0) / (settings.alternate ? 2 : 1));
  const passage = lesson[turn % Math.max(1, lesson.length)];
  return (
    <div className="grid gap-5" data-practice={playing ? 'playing' : 'still'}>
      <Line state={state} session={session} />
      <Choose board={board} settings={settings} change={change} />
      {passage ? (
        <Music board={board} passage={passage} />
      ) : (
        <p className="sheet">
          {settings.changesOnly
            ? 'Nothing changes here: it is the plain tune. Take another pass, or more of it.'
            : 'This is not on the board any more. Choose something else to practise.'}
        </p>
      )}
      {silence && (
        <p className="sheet" role="status">
          {silence}
        </p>
      )}
      <Spell playing={playing} />
      <Bar practice={practice} meter={board.tune.meter} />
      <div className="practice-dials">
        <Pace tune={board.tune.tempo} settings={settings} change={change} />
        <Loud settings={settings} change={change} />
      </div>
      <TakeAway board={board.id} settings={settings} />
      <p className="text-soft">
        On a phone the switch that silences it may silence this too. What you set is kept on this
        browser.
      </p>
    </div>
  );
}
