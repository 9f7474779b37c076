import { describe, expect, test } from 'vitest';
import { oneThingAtATime } from '../../../../app/_parts/sheet/one-thing';
import { arrange } from '../../../../lib/arrange/arrange';
import { DEMO_ABC } from '../../../../lib/demo-tune';
import { FAMILIES } from '../../../../lib/embellish/all';
import type { FamilyId } from '../../../../lib/embellish/family';
import { readAbc } from '../../../../lib/formats/abc/read';
import { problemsOf } from '../../../../lib/judge';
import { SHELF } from '../../../../lib/shelf';
import type { Content } from '../../../../lib/tab/marks';
import { containsOf } from '../../../../lib/tab/marks';
import type { Tune } from '../../../../lib/tune';
import { measureOf } from '../../../../lib/tune';

function tuneOf(abc: string): Tune {
  const read = readAbc(abc);
  const arranged = read.ok ? arrange(read.value.melody) : read;
  if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
  return arranged.value.tune;
}

/**
 * What each embellishment looks like in tab. A skip is heard by what comes late after it; a string that is not struck may still ring from
 * the beat before, so that a hammer on it is written as a hammer-on. Source: the trade's table of embellishments.
 */
const LOOKS: Readonly<Record<FamilyId, readonly Content[]>> = {
  'hammer-on': ['hammer-on'],
  'pull-off': ['pull-off'],
  slide: ['slide', 'triplet'],
  'double-thumb': ['double thumbing'],
  'drop-thumb': ['drop thumbing'],
  'added-brush': [],
  skip: ['skip', 'drop thumbing', 'hammer from nowhere'],
  'hammer-from-nowhere': ['hammer from nowhere', 'hammer-on'],
  'alternate-pull-off': ['alternate-string pull-off'],
  triplet: ['triplet', 'hammer-on', 'pull-off'],
  'stopped-hand': ['stopped brush'],
};

const TUNES: readonly (readonly [title: string, abc: string])[] = [
  ['the demo', DEMO_ABC],
  ...SHELF.map(({ title, abc }) => [title, abc] as const),
];

describe.each(TUNES)('%s', (_, abc) => {
  const tune = tuneOf(abc);
  const { blocks, others } = oneThingAtATime({ tune, level: 2 });

  test('has every embellishment in a block or among those that do not go', () => {
    const named = [...blocks.map(({ family }) => family.id), ...others.map(({ id }) => id)];
    expect(named.toSorted()).toEqual(FAMILIES.map(({ id }) => id).toSorted());
    expect(blocks.length).toBeGreaterThanOrEqual(3);
  });

  test('shows the same measures in each block, with only that one beside what is in the plain tune', () => {
    for (const { family, measures } of blocks) {
      expect(measures.map(({ plain }) => plain.id)).toEqual(
        blocks[0]?.measures.map(({ plain }) => plain.id),
      );
      for (const { plain, strokes } of measures) {
        const before = containsOf(measureOf(tune.meter, plain));
        const varied = measureOf(tune.meter, plain, strokes);
        const allowed = [...before, ...LOOKS[family.id]];
        expect(containsOf(varied).filter((content) => !allowed.includes(content))).toEqual([]);
        expect(problemsOf(varied, tune.neck)).toEqual([]);
      }
    }
  });
});

test('the demo has the five of a first workshop', () => {
  const { blocks } = oneThingAtATime({ tune: tuneOf(DEMO_ABC), level: 2 });
  const ids = blocks.map(({ family }) => family.id);
  for (const id of ['hammer-on', 'pull-off', 'slide', 'double-thumb', 'drop-thumb'] as const)
    expect(ids).toContain(id);
});
