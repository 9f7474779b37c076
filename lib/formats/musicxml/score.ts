import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { MusicXmlProblem, XmlFindings } from './problem';
import type { XmlElement } from './xml';
import { childOf, childrenOf, textAt } from './xml';

/** A part of a score: its measures in order, each with what stands in it for this part. */
export interface ScorePart {
  readonly id: string;
  readonly name: string;
  readonly measures: readonly ScoreMeasure[];
}

export interface ScoreMeasure {
  /** The measure's element, where its attributes stand. */
  readonly element: XmlElement;
  readonly contents: readonly XmlElement[];
}

function namesIn(score: XmlElement): ReadonlyMap<string, string> {
  const list = childOf(score, 'part-list');
  const parts = list ? childrenOf(list, 'score-part') : [];
  return new Map(
    parts.map((part) => [part.attributes.get('id') ?? '', textAt(part, 'part-name') ?? '']),
  );
}

/** Measures by part, where the file goes part by part. */
function partwise(score: XmlElement): ReadonlyMap<string, readonly ScoreMeasure[]> {
  return new Map(
    childrenOf(score, 'part').map((part) => [
      part.attributes.get('id') ?? '',
      childrenOf(part, 'measure').map((element) => ({ element, contents: element.children })),
    ]),
  );
}

/** Measures by part, where the file goes measure by measure. */
function timewise(score: XmlElement): ReadonlyMap<string, readonly ScoreMeasure[]> {
  const parts = new Map<string, ScoreMeasure[]>();
  for (const element of childrenOf(score, 'measure'))
    for (const part of childrenOf(element, 'part')) {
      const id = part.attributes.get('id') ?? '';
      const measures = parts.get(id) ?? [];
      measures.push({ element, contents: part.children });
      parts.set(id, measures);
    }
  return parts;
}

/** The parts of a score in their order, or why it is none. */
export function partsOf(score: XmlElement): Result<readonly ScorePart[], MusicXmlProblem> {
  const isPartwise = score.name === 'score-partwise';
  if (!isPartwise && score.name !== 'score-timewise') {
    const words = `This is XML but no music: it begins with <${score.name.slice(0, 30)}> instead of <score-partwise>.`;
    return fail({ code: 'not-musicxml', where: score.where, words });
  }
  const names = namesIn(score);
  const measures = isPartwise ? partwise(score) : timewise(score);
  const parts = [...measures].map(([id, list]) => ({
    id,
    name: names.get(id) || id,
    measures: list,
  }));
  if (parts.length > 0) return ok(parts);
  return fail({
    code: 'no-part',
    where: score.where,
    words: 'The score has no part with measures.',
  });
}

/** What the score is called: its work's title, or its movement's. */
export function titleOf(score: XmlElement, findings: XmlFindings): string {
  const title = textAt(score, 'work', 'work-title') || textAt(score, 'movement-title');
  if (!title) leaveOut(findings, 'The score has no title');
  return title ? title.replace(/\s+/g, ' ') : 'Untitled';
}

export function leaveOut(findings: XmlFindings, what: string): void {
  findings.leftOut.set(what, (findings.leftOut.get(what) ?? 0) + 1);
}
