import { expect, test } from 'vitest';
import type { MeasureId, Ms, ParticipantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { writeClaim } from '../../../../shared/board/exercise';
import { writeHidden } from '../../../../shared/board/leading';
import { ownOf } from '../../../../shared/board/own';
import { ballotOf, saidBy } from '../../../../shared/board/roles';
import { MAX_VARIANTS } from '../../../../shared/board/values';
import { writeApproval, writeName, writeProposal } from '../../../../shared/board/write';

test('what is mine is all that stands in my documents, also what is hidden, votes for it, and more than counts', () => {
  const documents = demoDocuments();
  const me = 'busy00000001' as ParticipantId;
  const [said, ballot] = [documents.open(saidBy(me)), documents.open(ballotOf(me))];
  expect(ownOf(said, ballot)).toEqual({ name: '', variants: [], approvals: [], claims: {} });
  writeName(said, 'Ash');
  const ids = Array.from({ length: MAX_VARIANTS + 7 }, (_, at) => {
    const strokes = [{ at, length: 1, by: 'rest', notes: [] }] as const;
    return writeProposal(said, me, { measure: 'm1' as MeasureId, strokes, note: `note ${at}` });
  });
  const [first] = ids;
  if (!first) throw new RangeError('nothing was put forward');
  writeHidden(documents.lead, first, true);
  writeApproval(ballot, first, true);
  writeClaim(said, 'm2' as MeasureId, { atMs: 5 as Ms }, 6 as Ms);
  const own = ownOf(said, ballot);
  expect(own.name).toBe('Ash');
  expect(own.variants.map(({ id }) => id)).toEqual(ids);
  expect(own.variants[3]).toMatchObject({ measure: 'm1', note: 'note 3' });
  expect(own.approvals).toEqual([first]);
  expect(Object.keys(own.claims)).toEqual(['m2']);
});
