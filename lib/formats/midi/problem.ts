import type { Problem } from '../../result';
import type { AbcProblem } from '../abc/problem';

/** Byte of the file, from 0; absent where the whole is meant. */
export interface MidiPlace {
  readonly byte?: number;
}

export type MidiProblem = Problem<
  | 'too-long'
  | 'not-midi'
  | 'broken-off'
  | 'bad-event'
  | 'too-many-events'
  | 'no-beat'
  | 'no-track'
  | 'no-notes'
  | AbcProblem['code'],
  MidiPlace
>;
