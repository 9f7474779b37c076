import * as Y from 'yjs';
import type { BoardId, MeasureId, ParticipantId } from '../../lib/units';
import type { LoggedUpdate } from '../../server/store/store';
import { demoDocuments } from '../../shared/board/demo';
import { DocumentFamily } from '../../shared/board/documents';
import { readBoard } from '../../shared/board/read';
import { ballotOf, saidBy } from '../../shared/board/roles';
import {
  writeApproval,
  writeArrivals,
  writeName,
  writePerson,
  writeProposal,
  writeTune,
} from '../../shared/board/write';

const MEASURES = 32;
const PEOPLE = 30;
const VARIANTS = 200;

/** A board as full as a large workshop makes it: 32 measures, 30 people, 200 variants, ten approvals each. */
export function fullBoard(): DocumentFamily {
  const demo = readBoard('x' as BoardId, demoDocuments());
  if (!demo) throw new RangeError('the demo cannot be read');
  const plain = demo.tune.parts.flatMap(({ measures }) => measures);
  const measures = Array.from({ length: MEASURES }, (_, at) => {
    const measure = plain[at % plain.length];
    if (!measure) throw new RangeError('the demo has no measures');
    return { ...measure, id: `f${at + 1}` as MeasureId };
  });
  const family = new DocumentFamily();
  writeTune(family.lead, { ...demo.tune, form: ['A'], parts: [{ letter: 'A', measures }] });
  const ids: string[] = [];
  for (let at = 0; at < PEOPLE; at += 1) {
    const id = `full${`${at}`.padStart(8, '0')}` as ParticipantId;
    writePerson(family.house, id, at === 0 ? 'lead' : 'join');
    writeName(family.open(saidBy(id)), `Person ${at}`);
  }
  for (let at = 0; at < VARIANTS; at += 1) {
    const author = `full${`${at % PEOPLE}`.padStart(8, '0')}` as ParticipantId;
    const measure = measures[at % MEASURES];
    if (!measure) continue;
    // One stroke less for each variant of the same measure, so that no two are the same.
    const strokes = measure.strokes.slice(Math.floor(at / MEASURES) % measure.strokes.length);
    const note = `variant ${at}`;
    ids.push(
      writeProposal(family.open(saidBy(author)), author, { measure: measure.id, strokes, note }),
    );
  }
  writeArrivals(family.house, ids);
  for (let at = 0; at < PEOPLE * 10; at += 1) {
    const voter = `full${`${at % PEOPLE}`.padStart(8, '0')}` as ParticipantId;
    writeApproval(family.open(ballotOf(voter)), ids[(at * 7) % ids.length] as never, true);
  }
  return family;
}

export function entriesOf(family: DocumentFamily): readonly LoggedUpdate[] {
  return family
    .names()
    .map((document) => ({ document, update: Y.encodeStateAsUpdate(family.open(document)) }));
}
