import { expect, test } from 'vitest';
import * as Y from 'yjs';
import type { ParticipantId } from '../../../../lib/units';
import { arrivalsIn, countPeople, personIn } from '../../../../shared/board/house';
import { HOUSE } from '../../../../shared/board/schema';
import { writeArrivals, writePerson } from '../../../../shared/board/write';

const ME = 'abcdefghijkl' as ParticipantId;

test('the house knows a person by the role that was written last', () => {
  const house = new Y.Doc();
  expect(personIn(house, ME)).toBeUndefined();
  writePerson(house, ME, 'join');
  writePerson(house, ME, 'lead');
  expect(personIn(house, ME)).toBe('lead');
  expect(countPeople(house)).toBe(1);
});

test.each([[1], ['lead'], [null], [{}], [{ role: 'king' }]])('%j is no person', (value) => {
  const house = new Y.Doc();
  house.getMap(HOUSE.people).set(ME, value);
  expect(personIn(house, ME)).toBeUndefined();
});

test('arrivals keep their first place, and new ones come after all', () => {
  const house = new Y.Doc();
  expect(writeArrivals(house, ['b', 'a'])).toBe(true);
  expect(writeArrivals(house, ['a', 'b'])).toBe(false);
  expect(writeArrivals(house, ['c', 'a'])).toBe(true);
  const arrived = house.getMap(HOUSE.arrived);
  expect(Object.fromEntries(arrivalsIn(house).map((id) => [id, arrived.get(id)]))).toEqual({
    b: 0,
    a: 1,
    c: 2,
  });
});
