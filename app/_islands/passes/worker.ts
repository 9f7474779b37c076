import { planningOf } from '../../../shared/board/plan';
import { madePasses } from './made';
import type { PlanAnswer, PlanQuestion } from './message';

/** Makes passes aside from the page, so that nothing waits for it. Ended from outside when nobody wants the answer any more. */

function tell(answer: PlanAnswer): void {
  postMessage(answer);
}

addEventListener('message', ({ data }: MessageEvent<PlanQuestion>) => {
  const { number, board } = data;
  const steps = planningOf(board);
  let step = steps.next();
  while (!step.done) {
    tell({ kind: 'progress', number, progress: step.value });
    step = steps.next();
  }
  if (step.value.ok) {
    tell({ kind: 'made', number, made: madePasses(board, step.value.value) });
  } else {
    const words = step.value.problems.map((problem) => problem.words);
    tell({ kind: 'contradiction', number, words });
  }
});
