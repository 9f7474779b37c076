import { describe, expect, test } from 'vitest';
import type { ParticipantId } from '../../../../lib/units';
import type { DocumentName, Role } from '../../../../shared/board/roles';
import {
  ballotOf,
  higherRole,
  isParticipantId,
  mayWrite,
  parseDocumentName,
  ROLES,
  saidBy,
} from '../../../../shared/board/roles';

const ME = 'abcdefghijkl' as ParticipantId;
const YOU = 'mnopqrstuvwx' as ParticipantId;

describe('names of documents', () => {
  test.each<readonly [string, object | undefined]>([
    ['lead', { kind: 'lead', name: 'lead' }],
    ['house', { kind: 'house', name: 'house' }],
    [`said/${ME}`, { kind: 'said', owner: ME, name: saidBy(ME) }],
    [`ballot/${YOU}`, { kind: 'ballot', owner: YOU, name: ballotOf(YOU) }],
    ['', undefined],
    ['Lead', undefined],
    ['lead/', undefined],
    ['said', undefined],
    ['said/', undefined],
    ['said/ABCDEFGHIJKL', undefined],
    [`said/${ME}/more`, undefined],
    [`said/${ME}\n`, undefined],
    [`house/${ME}`, undefined],
    ['__proto__', undefined],
  ])('"%s"', (name, parsed) => {
    expect(parseDocumentName(name)).toEqual(parsed);
  });

  test('nothing but text is a name', () => {
    for (const value of [undefined, null, 1, {}, ['lead']])
      expect(parseDocumentName(value)).toBeUndefined();
  });
});

describe('who may write', () => {
  const documents: readonly DocumentName[] = [
    'lead',
    'house',
    saidBy(ME),
    ballotOf(ME),
    saidBy(YOU),
    ballotOf(YOU),
    'said/nobody',
  ];
  test.each<readonly [Role, boolean, readonly DocumentName[]]>([
    ['lead', true, ['lead', saidBy(ME), ballotOf(ME)]],
    ['lead', false, ['lead', saidBy(ME)]],
    ['join', true, [saidBy(ME), ballotOf(ME)]],
    ['join', false, [saidBy(ME)]],
    ['watch', true, []],
    ['watch', false, []],
  ])('%s, voting open: %s', (role, votingOpen, expected) => {
    expect(documents.filter((name) => mayWrite(role, ME, name, votingOpen))).toEqual(expected);
  });
});

test('the higher of two roles, in either order', () => {
  for (const [i, a] of ROLES.entries())
    for (const [j, b] of ROLES.entries()) expect(higherRole(a, b)).toBe(ROLES[Math.min(i, j)]);
});

test('a participant is twelve small letters and digits', () => {
  expect(isParticipantId(ME)).toBe(true);
  for (const bad of ['', 'abc', 'ABCDEFGHIJKL', 'abcdefghijklm', 'abcdefghijk-', 12, null])
    expect(isParticipantId(bad)).toBe(false);
});
