import type { PointReason } from '../../../shared/board/past';

/** Why a moment was kept, in words. */
export const REASON_WORDS: Readonly<Record<PointReason, string>> = {
  agreed: 'passes were agreed',
  closed: 'voting was closed',
  time: 'in the middle of the work',
  return: 'before the board was returned to an earlier moment',
};
