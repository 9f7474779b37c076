import { expect, test } from 'vitest';
import type { BoardId, ParticipantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { keptOf, unfolded } from '../../../../shared/board/kept';
import { readBoard } from '../../../../shared/board/read';
import { saidBy } from '../../../../shared/board/roles';
import { KEPT } from '../../../../shared/board/schema';
import { writeAgreed } from '../../../../shared/board/write';

test('a kept point plays what was agreed, whatever somebody else has written under its name', () => {
  const id = 'demo' as BoardId;
  const documents = demoDocuments();
  const [variant] = readBoard(id, documents)?.variants ?? [];
  if (!variant) throw new Error('the demo has no variant');
  const { measure, strokes } = variant;
  const variants = { [variant.id]: { measure, strokes, by: 'Wren' } };
  writeAgreed(documents.lead, { passes: [{}, { [measure]: variant.id }], variants });
  const forger = documents.open(saidBy('zzforger0001' as ParticipantId));
  forger.getMap(KEPT.planned).set(variant.id, { measure, strokes: strokes.slice(0, 1) });
  const board = readBoard(id, unfolded(keptOf(documents), new Set()));
  expect(board?.plan?.variants).toEqual(variants);
});
