import { constants, setPriority } from 'node:os';
import type { Result } from '../../lib/result';
import type { Draft } from '../boards';
import type { CreateProblem } from '../host';
import type { ImportOrder, ImportWord } from './order';

function wordFor(read: () => Result<Draft, CreateProblem>): ImportWord {
  try {
    return { kind: 'read', draft: read() };
  } catch (error) {
    return { kind: 'fault', words: error instanceof Error ? `${error.stack}` : String(error) };
  }
}

/** Makes this process one that reads what a server hands it, one order after the other, until the server lets go of it. */
export function answerOrders(read: (order: ImportOrder) => Result<Draft, CreateProblem>): void {
  // The boards go before, where there are fewer processors than work.
  setPriority(constants.priority.PRIORITY_BELOW_NORMAL);
  // Where the server does not hear it any more, it is gone, and `disconnect` is on its way.
  const say = (word: ImportWord, then: () => void) => process.send?.(word, then);
  // A terminal sends its signals to everybody in it; the server decides when this process ends.
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
    process.on(signal, () => undefined);
  process.on('disconnect', () => process.exit());
  process.on('message', (order: ImportOrder) => {
    say({ kind: 'begun' }, () =>
      say(
        wordFor(() => read(order)),
        () => undefined,
      ),
    );
  });
}
