import type { Problem } from '../../result';
import type { AbcProblem, TextPlace } from '../abc/problem';

/** A place in the text as editors count it, from 1, and the element that stands there. */
export interface XmlPlace extends TextPlace {
  readonly element?: string;
}

export type MusicXmlProblem = Problem<
  | 'too-long'
  | 'not-xml'
  | 'too-deep'
  | 'too-many-elements'
  | 'not-zip'
  | 'not-musicxml'
  | 'no-part'
  | 'no-divisions'
  | 'bad-number'
  | 'no-meter'
  | 'unknown-meter'
  | 'meter-change'
  | 'too-many-measures'
  | 'no-notes'
  | AbcProblem['code'],
  XmlPlace
>;

/** What a reading collects on its way. Places without a known line begin at 1. */
export interface XmlFindings {
  readonly problems: MusicXmlProblem[];
  /** What was understood but left out or guessed, each said once, with how often it occurred. */
  readonly leftOut: Map<string, number>;
}

/** Where nothing more exact is known. */
export const START: XmlPlace = { line: 1, column: 1 };
