import fc from 'fast-check';
import { expect, test } from 'vitest';
import { arrange } from '../../lib/arrange/arrange';
import { readAbc } from '../../lib/formats/abc/read';
import type { Melody } from '../../lib/melody';
import { melodyAlone } from '../../lib/melody-alone';
import * as edit from '../../lib/melody-edit';
import { checkFill } from '../../lib/tab/fill';
import { neckOf, tuningById } from '../../lib/tuning';

function melodyOf(body: string): Melody {
  const read = readAbc(`X:1\nT:t\nM:4/4\nL:1/8\nK:G\n${body}\n`);
  if (!read.ok) throw new Error(read.problems[0]?.words);
  return read.value.melody;
}

const openG = tuningById('gDGBD');
if (!openG) throw new Error('no open G');
const OPEN_G = neckOf(openG, 0);

const MELODIES = ['G2A2B2d2|B6z2|G8-|G4A4|', 'd|B2A2 (3BAG E2|G4-GABd|g8|z4 z2d2|e4d3|'].map(
  melodyOf,
);

type Whim = readonly [kind: number, measure: number, sound: number, number: number];

function edited(melody: Melody, [kind, m, s, n]: Whim): Melody {
  const measures = melody.parts[0]?.measures ?? [];
  const measure = m % measures.length;
  const one = measures[measure];
  const sounds = one ? edit.soundsOf(one) : [];
  const at = sounds[s % sounds.length]?.at ?? 0;
  const place = { part: 0, measure, at };
  const acts = [
    () => edit.withPitch(melody, place, 50 + (n % 40)),
    () => edit.withNoteLength(melody, place, 60 * (n % 40)),
    () => edit.withoutNoteAt(melody, place),
    () => edit.withNoteIn(melody, place, 50 + (n % 40), 60 * (n % 40)),
    () => edit.withNoteCut(melody, place, 60 * (n % 20)),
  ];
  return acts[kind % acts.length]?.() ?? melody;
}

test('whatever is corrected in a melody, its measures keep their length, notes follow each other, ties go on from the same pitch, and it is set or refused in words', () => {
  const whim = fc.tuple(fc.nat(4), fc.nat(20), fc.nat(20), fc.nat(200));
  fc.assert(
    fc.property(fc.constantFrom(...MELODIES), fc.array(whim, { maxLength: 30 }), (first, whims) => {
      const melody = whims.reduce(edited, first);
      let held: number | undefined;
      for (const [m, measure] of (melody.parts[0]?.measures ?? []).entries()) {
        expect(measure.ticks).toBe(first.parts[0]?.measures[m]?.ticks);
        let reached = 0;
        for (const { at, length, midi, tied } of measure.notes) {
          expect(at).toBeGreaterThanOrEqual(reached);
          expect(length).toBeGreaterThan(0);
          if (tied && m > 0) expect([at, midi]).toEqual([0, held]);
          reached = at + length;
        }
        expect(reached).toBeLessThanOrEqual(measure.ticks);
        held = reached === measure.ticks ? measure.notes.at(-1)?.midi : undefined;
        const total = edit.soundsOf(measure).reduce((sum, { length }) => sum + length, 0);
        expect(total).toBe(measure.ticks);
      }
      for (const measure of melodyAlone(melody, 0, OPEN_G, 0))
        expect(checkFill(measure)).toEqual([]);
      const set = arrange(melody);
      if (!set.ok) expect(set.problems[0]?.words.length).toBeGreaterThan(20);
      else
        for (const { strokes, ticks, startsAt } of set.value.tune.parts.flatMap((p) => p.measures))
          expect(checkFill({ meter: melody.meter, startsAt, ticks, strokes })).toEqual([]);
    }),
    { seed: 1, numRuns: 150 },
  );
});

const G = 67;
test('a tied note changes its pitch in all measures that it rings on into', () => {
  const [melody] = MELODIES;
  if (!melody) throw new Error('no melody');
  const made = edit.withPitch(melody, { part: 0, measure: 2, at: 0 }, G + 2);
  const notes = made.parts[0]?.measures.slice(2).map((one) => one.notes[0]);
  expect(notes).toEqual([
    { at: 0, length: 1920, midi: G + 2 },
    { at: 0, length: 960, midi: G + 2, tied: true },
  ]);
});

test('a longer note takes its time from what comes after it, a shorter one leaves a rest', () => {
  const [melody] = MELODIES;
  if (!melody) throw new Error('no melody');
  const place = { part: 0, measure: 0, at: 0 };
  const heard = (one: Melody) => {
    const [measure] = one.parts[0]?.measures ?? [];
    return measure && edit.soundsOf(measure).map(({ at, midi }) => [at, midi]);
  };
  expect(heard(edit.withNoteLength(melody, place, 720))).toEqual([
    [0, 67],
    [720, 69],
    [960, 71],
    [1440, 74],
  ]);
  expect(heard(edit.withNoteLength(melody, place, 240))).toEqual([
    [0, 67],
    [240, undefined],
    [480, 69],
    [960, 71],
    [1440, 74],
  ]);
});
