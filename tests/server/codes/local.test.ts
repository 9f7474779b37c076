import { LocalCodes } from '../../../server/codes';
import { newBoardId } from '../../../server/links';
import { codesConform } from './conformance';

// One server has one desk: both names stand for it.
codesConform('in memory', async (now) => {
  const desk = new LocalCodes(now);
  return { one: desk, two: desk, board: newBoardId(), other: newBoardId() };
});
