import { fingerprint, strokesText } from '../../lib/tab/hash';
import type { Stroke } from '../../lib/tab/measure';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';

/** A variant's id: who proposed it and a fingerprint of what it holds, so that a vote is for these strokes and no others. */
export function variantIdOf(
  author: ParticipantId,
  measure: MeasureId,
  strokes: readonly Stroke[],
): VariantId {
  return `${author}.${fingerprint(`${measure} ${strokesText(strokes)}`)}` as VariantId;
}

/** Where a link leads. */
export function joinPath(secret: string): string {
  return `/join/${secret}`;
}

export function boardPath(board: string): string {
  return `/b/${board}`;
}

export function passesPath(board: string): string {
  return `/b/${board}/passes`;
}

export function sheetPath(board: string): string {
  return `/b/${board}/sheet`;
}

/** Where a link is drawn as a code to scan (`shared/api/link-code`). */
export function linkCodePath(board: string): string {
  return `/api/boards/${board}/link-code`;
}

/** Where a board is had as a file. @param format as `shared/api/export-file` names it, with the query that goes with it */
export function exportPath(board: string, format: string): string {
  return `/api/boards/${board}/export/${format}`;
}

/** Where a sheet is had as PDF. */
export function pdfPath(board: string): string {
  return exportPath(board, 'pdf');
}

export function playPath(board: string): string {
  return `/b/${board}/play`;
}

export function practicePath(board: string): string {
  return `/b/${board}/practice`;
}

/** Where a practice track is taken from; `shared/api/export-wav` writes its query. */
export function wavPath(board: string): string {
  return `/api/boards/${board}/export/wav`;
}

/** Who is on a board, what its leaders have ordered, and what is mine. */
export function peoplePath(board: string): string {
  return `/b/${board}/people`;
}

/** How the board was: the list of kept points, or one of them. For leaders. */
export function pastPath(board: string, point?: number): string {
  return point === undefined ? `/b/${board}/past` : `/b/${board}/past/${point}`;
}

/** Where a leader asks that the board return to a kept point. */
export function returnPath(board: string, point: number): string {
  return `/api/boards/${board}/past/${point}`;
}

/** What a play page hears a pass from: what is played, or agreed, under a name (`nameOfPlayed`). */
export function musicPath(board: string, name: string): string {
  return `${playPath(board)}/music?${new URLSearchParams({ name })}`;
}

/** Path prefix of the socket; the board's id follows. */
export const SYNC_PATH = '/sync';

/** Of the socket's query: what it is for. */
export const PURPOSE = 'for';
/** For who only follows what is played: words, and no documents. */
export const TO_FOLLOW = 'play';

/** Where the socket of somebody is who only follows what is played. */
export function followPath(board: string): string {
  return `${SYNC_PATH}/${board}?${PURPOSE}=${TO_FOLLOW}`;
}
