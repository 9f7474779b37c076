import { useEffect, useMemo, useRef, useState } from 'react';
import type { Board } from '../../../shared/board/schema';
import type { MadePasses, PlanAnswer } from './message';
import { Planner } from './planner';

export interface Passes {
  /** The last passes that could be made; undefined before the first. */
  readonly made: MadePasses | undefined;
  /** Why none can be made now: the leader's locks contradict one another. */
  readonly contradiction: readonly string[];
  /** How far the work is, 0 to 1, while it lasts. */
  readonly progress: number | undefined;
  readonly stop: () => void;
}

/** What the passes depend on; presence, transport and the published plan are not part of it. */
function questionKey({ tune, variants, approvals, passes, level, planning, overruled }: Board) {
  const ids = variants.map(({ id }) => id);
  return JSON.stringify([tune, ids, approvals, passes, level, planning, overruled]);
}

/** The passes that the board's votes would make now, always up to date, made aside from the page. */
export function usePasses(board: Board): Passes {
  const [answer, setAnswer] = useState<PlanAnswer>();
  const [made, setMade] = useState<MadePasses>();
  const planner = useRef<Planner>(undefined);
  const key = questionKey(board);
  const question = useRef(board);
  question.current = board;
  useEffect(() => {
    const take = (next: PlanAnswer) => {
      setAnswer(next);
      if (next.kind === 'made') setMade(next.made);
    };
    planner.current ??= new Planner(take);
    if (key) planner.current.ask(question.current);
  }, [key]);
  useEffect(
    () => () => {
      planner.current?.end();
      planner.current = undefined;
    },
    [],
  );
  return useMemo(
    () => ({
      made,
      contradiction: answer?.kind === 'contradiction' ? answer.words : [],
      progress: answer?.kind === 'progress' ? answer.progress.done : undefined,
      stop: () => {
        planner.current?.end();
        planner.current = undefined;
        setAnswer(undefined);
      },
    }),
    [answer, made],
  );
}
