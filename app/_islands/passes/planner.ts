import type { Board } from '../../../shared/board/schema';
import type { PlanAnswer, PlanQuestion } from './message';

/** Asks for passes in a worker; a new question overtakes an older one. */
export class Planner {
  private readonly worker = new Worker(new URL('./worker.ts', import.meta.url), {
    type: 'module',
    name: 'passes',
  });
  private number = 0;
  private answered = 0;

  constructor(private readonly take: (answer: PlanAnswer) => void) {
    this.worker.addEventListener('message', ({ data }: MessageEvent<PlanAnswer>) => {
      if (data.number !== this.number) return;
      if (data.kind !== 'progress') this.answered = data.number;
      this.take(data);
    });
  }

  /** Is a question under way? */
  get busy(): boolean {
    return this.answered < this.number;
  }

  ask(board: Board): void {
    this.number += 1;
    this.worker.postMessage({ number: this.number, board } satisfies PlanQuestion);
  }

  end(): void {
    this.worker.terminate();
  }
}
