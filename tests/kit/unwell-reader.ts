import { draftFromText } from '../../server/boards';
import { answerOrders } from '../../server/imports/answering';

/** What a body asks of a reading process that is not well. */
const DEEDS: Readonly<Record<string, () => void>> = {
  endless: () => {
    for (;;);
  },
  /** One piece of memory that grows at a stroke, which V8 cannot refuse a thread without ending its process. */
  memory: () => {
    const all = new Map<number, number>();
    for (let at = 0; ; at += 1) all.set(at, at);
  },
  crash: () => process.exit(3),
  abort: () => process.abort(),
  mistake: () => {
    throw new RangeError('a mistake of ours');
  },
};

/** A program for reading processes that goes wrong where a body is the name of a deed, and reads everything else. */
answerOrders(({ board, text }) => {
  DEEDS[text]?.();
  return draftFromText(board, text);
});
