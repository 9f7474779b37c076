import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import type { IdeaContext, IdeaOptions } from '../../lib/ideas/ideas';
import { ideas } from '../../lib/ideas/ideas';
import { exercise, tastefulMix } from '../../lib/ideas/part';
import { soundKey } from '../../lib/ideas/sound';
import { meterNamed } from '../../lib/rhythm';
import type { Part } from '../../lib/tune';
import { neckOf, TUNINGS } from '../../lib/tuning';
import type { MeasureId } from '../../lib/units';
import { bar, textOf } from '../kit/tab';

const [gDGBD] = TUNINGS;
if (!gDGBD) throw new RangeError('no tuning');
const NECK = neckOf(gDGBD);
const G: Key = { tonic: 'G', mode: 'major' };
const PLAIN = 's3 . b123 t5 | s1 . b123 t5';
const EASY: IdeaOptions = { level: 3, busyness: 0 };

function ideasFor(text: string, options: IdeaOptions = EASY, more: Partial<IdeaContext> = {}) {
  const measure = bar('4/4', text);
  return ideas(measure, { neck: NECK, key: G, tempo: 80, ...more }, options).map((idea) => ({
    ...idea,
    text: textOf({ ...measure, strokes: idea.strokes }),
  }));
}

test('two variations are one if they sound and finger the same, though one rests where the other rings on', () => {
  const key = (text: string) => soundKey(bar('4/4', text).strokes);
  expect(key('s3 r b123 t5 | s1 . b123 t5')).toBe(key(PLAIN));
  expect(key('s4.5 . b123 t5 | s1 . b123 t5')).not.toBe(key(PLAIN));
  expect(key('s3 . x123 t5 | s1 . b123 t5')).not.toBe(key(PLAIN));
});

describe('drop thumbing knows the chord', () => {
  const drops = (chord: string) =>
    ideasFor(
      's1 . b123 t5 | s1 . b123 t5',
      { ...EASY, family: 'drop-thumb', limit: 40 },
      { chord },
    ).flatMap(({ text }) => /t([234]\.\d)/.exec(text)?.[1] ?? []);

  test('and goes to its stopped notes under the hand', () => {
    expect(new Set(drops('C'))).toEqual(new Set(['2.1']));
    expect(new Set(drops('D'))).toEqual(new Set(['2.3']));
  });
});

describe('ideas for a plain measure', () => {
  test('have the five families of a first workshop among them', () => {
    const families = new Set(ideasFor(PLAIN).flatMap((idea) => idea.families));
    for (const family of ['hammer-on', 'pull-off', 'slide', 'double-thumb', 'drop-thumb'] as const)
      expect(families).toContain(family);
  });

  test('use a note of chord or scale before one outside', () => {
    const hammers = ideasFor(PLAIN, { ...EASY, family: 'hammer-on' }).map(({ text }) => text);
    expect(hammers.indexOf('s3 h3.2 b123 t5 | s1 . b123 t5')).toBe(0);
    expect(hammers.indexOf('s3 h3.1 b123 t5 | s1 . b123 t5')).not.toBe(1);
  });

  test('say what to play, by slots where there is more than one thing', () => {
    expect(ideasFor(PLAIN, { ...EASY, family: 'hammer-on' })[0]?.words).toBe(
      'Strike string 3 open, hammer on to fret 2.',
    );
    const busy = ideasFor(PLAIN, { level: 5, busyness: 1, family: 'hammer-on' });
    expect(busy[0]?.words).toBe(
      'Slot 1: Strike string 3 open, hammer on to fret 2. Slot 5: Strike string 1 open, hammer on to fret 2.',
    );
  });

  test('hold one embellishment when calm and more when busy', () => {
    expect(ideasFor(PLAIN).every(({ families }) => families.length === 1)).toBe(true);
    const mean = (busyness: number) => {
      const counts = ideasFor(PLAIN, { level: 5, busyness }).map(({ families }) => families.length);
      return counts.reduce((sum, n) => sum + n, 0) / counts.length;
    };
    expect(mean(0.5)).toBeGreaterThan(1.5);
    expect(mean(1)).toBeGreaterThan(mean(0.5));
  });

  test('are no harder than the level', () => {
    for (const level of [1, 2, 3] as const)
      for (const idea of ideasFor(PLAIN, { level, busyness: 1 }))
        expect(idea.level).toBeLessThanOrEqual(level);
  });

  test('are only of the family that was asked for', () => {
    const found = ideasFor(PLAIN, { ...EASY, family: 'drop-thumb' });
    expect(found.length).toBeGreaterThan(2);
    expect(new Set(found.flatMap(({ families }) => families))).toEqual(new Set(['drop-thumb']));
  });

  test('leave out what is there already, also where a rest rings on', () => {
    const [first] = ideasFor(PLAIN);
    const already = first ? [first.strokes] : [];
    expect(ideasFor(PLAIN, { ...EASY, already }).map(({ text }) => text)).not.toContain(
      first?.text,
    );
  });

  test('put later what is like something that is there already', () => {
    const place = (already: IdeaOptions['already'] = []) =>
      ideasFor(PLAIN, { ...EASY, already, limit: 30 }).findIndex(
        ({ text }) => text === 's3 h3.2 b123 t5 | s1 . b123 t5',
      );
    const like = bar('4/4', 's3 h3.2 b123 t5 | s1 h1.2 b123 t5').strokes;
    expect(place()).toBeGreaterThanOrEqual(0);
    expect(place([like])).toBeGreaterThan(place());
  });

  test('are as many as asked for at most, and 12 unless told', () => {
    expect(ideasFor(PLAIN)).toHaveLength(12);
    expect(ideasFor(PLAIN, { ...EASY, limit: 3 })).toHaveLength(3);
  });

  test('are none for a measure that has problems itself', () => {
    expect(ideasFor('s3 . t5 t5 | s1 . b123 t5')).toEqual([]);
  });

  test('do not ask for a hand that the neighbours leave no time for', () => {
    const high = bar('4/4', 's1.12 . s1.12 t2.12 | s1.12 . s1.12 t2.12');
    const found = ideasFor(
      's3 . b123 t5 | s1 . s3 t5',
      { level: 5, busyness: 0, limit: 60 },
      { tempo: 125, before: high },
    );
    const alone = ideasFor(
      's3 . b123 t5 | s1 . s3 t5',
      { level: 5, busyness: 0, limit: 60 },
      { tempo: 125 },
    );
    const startsLow = (text: string) => /^s\d\.[1-4]/.test(text);
    expect(alone.some(({ text }) => startsLow(text))).toBe(true);
    expect(found.some(({ text }) => startsLow(text))).toBe(false);
  });
});

const PART: Part = {
  letter: 'A',
  measures: [
    's3 . b123 t5 | s2 . b123 t5',
    's1 . b123 t5 | s1 . b123 t5',
    's2 . s3 t5 | s2 . b123 t5',
    's3 . b123 t5 | s3 . b123 t5',
  ].map((text, i) => ({
    id: `m${i + 1}` as MeasureId,
    startsAt: 0,
    ticks: 1920,
    strokes: bar('4/4', text).strokes,
    chord: 'G',
    melody: [],
  })),
};
const SETTING = { meter: meterNamed('4/4'), neck: NECK, key: G, tempo: 80 };

describe('an exercise', () => {
  test('uses its family in every measure as often as it takes it', () => {
    const done = exercise(PART, 'hammer-on', SETTING);
    expect(done.map(({ id }) => id)).toEqual(['m1', 'm2', 'm3', 'm4']);
    expect(done.map(({ idea }) => idea?.families)).toEqual(
      [2, 2, 2, 2].map((count) => Array.from({ length: count }, () => 'hammer-on')),
    );
  });

  test('leaves plain what the family cannot be played in', () => {
    const [only] = PART.measures;
    const full = bar('4/4', 's3 t5 s3 t5 | s3 t5 s3 t5').strokes;
    const part = { letter: 'A', measures: only ? [{ ...only, strokes: full }] : [] };
    expect(exercise(part, 'hammer-on', SETTING)).toEqual([{ id: 'm1' }]);
  });
});

describe('a tasteful mix', () => {
  test('changes no two measures in a row and takes no family again at once', () => {
    for (const pass of [1, 2, 3, 4]) {
      const changed = tastefulMix(PART, SETTING, 3, pass);
      const which = changed.map(({ idea }) => idea !== undefined);
      expect(which).toEqual([0, 1, 2, 3].map((i) => (i + pass) % 2 === 1));
      const [a, b] = changed.flatMap(({ idea }) => (idea ? [idea.families[0]] : []));
      expect(a).not.toBe(b);
    }
  });

  test('is the same for the same pass and another for the next', () => {
    const passes = [1, 2, 3, 4].map((pass) => JSON.stringify(tastefulMix(PART, SETTING, 3, pass)));
    expect(new Set(passes).size).toBe(4);
    expect(JSON.stringify(tastefulMix(PART, SETTING, 3, 2))).toBe(passes[1]);
  });
});
