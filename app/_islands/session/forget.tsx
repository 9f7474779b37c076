'use client';
import { useEffect } from 'react';
import type { ParticipantId } from '../../../lib/units';
import { forgetOnThisBrowser } from './kept-here';

/** Takes what this browser keeps of a board away from it, where its person is no longer on the board. */
export function Forget({
  board,
  participant,
}: {
  readonly board: string;
  readonly participant: ParticipantId;
}) {
  useEffect(() => forgetOnThisBrowser(board, participant), [board, participant]);
  return null;
}
