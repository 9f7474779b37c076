import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readAbc } from '../../../lib/formats/abc/read';
import { toAbc } from '../../../lib/formats/abc/write';
import { parseMidiFile } from '../../../lib/formats/midi/parse';
import { toMidi } from '../../../lib/formats/midi/write';
import { readMusicXml } from '../../../lib/formats/musicxml/read';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import type { Melody } from '../../../lib/melody';
import { restructured } from '../../../lib/structure/change';
import type { Layout } from '../../../lib/structure/layout';
import { find, partsOf, tuneOf } from '../../../lib/structure/layout';
import { nextOf } from '../../../lib/structure/measures';
import { checkFill } from '../../../lib/tab/fill';
import type { PlainMeasure, Tune } from '../../../lib/tune';
import { measureOf, passTicks, playOrder, timelineOf } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { anyWhim, changeFrom, edited, editedTune, layoutOf, namesFrom } from '../../kit/layouts';

const anyTuneIndex = fc.nat(3);
const whims = fc.array(anyWhim, { minLength: 1, maxLength: 25 });

/** What a pass plays, as ids. */
function played(layout: Layout): readonly string[] {
  return playOrder(tuneOf(layout)).map(({ measure }) => measure.id);
}

function all(layout: Layout) {
  return layout.parts.flatMap(({ entries }) => entries);
}

describe('whatever leaders do to the structure', () => {
  test('measures add up, every time through plays something, ids stand for one shape, nothing is lost', () => {
    fc.assert(
      fc.property(anyTuneIndex, whims, (index, row) => {
        const shapes = new Map<string, string>();
        const fresh = namesFrom('n');
        let layout = layoutOf(editedTune(index));
        for (const whim of row) {
          const change = changeFrom(layout, whim, fresh);
          const made = change && restructured(layout, change);
          if (!made) continue;
          if (!made.ok) {
            for (const { words } of made.problems) expect(words).toMatch(/^["A-Z].{15,}[.]$/);
            continue;
          }
          const before = all(layout).map(({ measure }) => measure.id);
          layout = made.value.layout;
          const ids = all(layout).map(({ measure }) => measure.id);
          expect(new Set(ids).size).toBe(ids.length);
          expect(before.filter((id) => !ids.includes(id))).toEqual([]);
          for (const { measure } of all(layout)) {
            const { id, startsAt, ticks } = measure;
            expect(checkFill(measureOf(layout.meter, measure))).toEqual([]);
            expect(startsAt + ticks).toBeLessThanOrEqual(layout.meter.measure);
            const shape = `${startsAt} ${ticks}`;
            expect(shapes.get(id) ?? shape).toBe(shape);
            shapes.set(id, shape);
          }
        }
        const { form } = layout;
        const letters = partsOf(layout).map(({ letter }) => letter);
        expect(form.every((letter) => letters.includes(letter))).toBe(true);
        const visits = playOrder(tuneOf(layout));
        for (const [i, letter] of form.entries()) {
          const time = form.slice(0, i + 1).filter((one) => one === letter).length;
          expect(visits.some((visit) => visit.part === letter && visit.time === time)).toBe(true);
        }
        expect(timelineOf(tuneOf(layout)).total).toBe(passTicks(tuneOf(layout)));
      }),
      { seed: 1, numRuns: 250 },
    );
  });

  test('every file can be written of it, and is read again wherever something sounds', () => {
    fc.assert(
      fc.property(anyTuneIndex, whims, (index, row) => {
        const tune = { ...editedTune(index), ...tuneOf(edited(index, row)) };
        expect(parseMidiFile(toMidi({ tune })).ok).toBe(true);
        for (const read of [readMusicXml(toMusicXml({ tune })), readAbc(toAbc(tune))])
          if (!read.ok) for (const { words } of read.problems) expect(words).toMatch(/no notes/);
      }),
      { seed: 2, numRuns: 80 },
    );
  });
});

describe('a measure that was split', () => {
  /** What is heard, measure by measure of the form, whatever the bar lines. */
  const heard = (tune: Pick<Tune, 'parts' | 'form'>) =>
    playOrder(tune).flatMap(({ startTicks, measure }) =>
      measure.strokes
        .filter(({ by }) => by !== 'rest')
        .map(({ at, by, notes }) => JSON.stringify([startTicks + at, by, notes])),
    );

  test('is two measures again in MusicXML, and one bar in ABC', () => {
    for (let index = 0; index < 4; index++) {
      const tune = editedTune(index);
      for (const { measures } of tune.parts)
        for (const { id, ticks } of measures) {
          const made = restructured(layoutOf(tune), {
            kind: 'split',
            measure: id,
            at: Math.ceil(ticks / tune.meter.slot / 2) * tune.meter.slot,
          });
          if (!made.ok) continue;
          const cut: Tune = { ...tune, ...tuneOf(made.value.layout) };
          const score = readMusicXml(toMusicXml({ tune: cut }));
          if (!score.ok || score.value.kind !== 'tab') throw new Error('no tab');
          expect(heard(score.value.tune)).toEqual(heard(cut));
          const shapes = ({ parts }: Pick<Tune, 'parts'>) =>
            parts.flatMap((part) => part.measures.map(({ startsAt, ticks: t }) => [startsAt, t]));
          expect(shapes(score.value.tune)).toEqual(shapes(cut));
          const text = readAbc(toAbc(cut));
          if (!text.ok) throw new Error(text.problems[0]?.words);
          expect(passTicks({ ...cut, ...partsIn(text.value.melody) })).toBe(passTicks(tune));
        }
    }
  });
});

/** A melody's parts as measures without strokes, for their lengths. */
function partsIn({ parts, form }: Melody): Pick<Tune, 'parts' | 'form'> {
  const named = parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map(
      (one, i): PlainMeasure => ({
        ...one,
        id: `${letter}${i}` as MeasureId,
        strokes: [],
        melody: [],
      }),
    ),
  }));
  return { parts: named, form };
}

describe('what conserves the music', () => {
  test('a split keeps the length of a pass, and joining the pieces brings the measure back as it was', () => {
    let splits = 0;
    fc.assert(
      fc.property(
        anyTuneIndex,
        whims,
        fc.nat(99),
        fc.integer({ min: 1, max: 7 }),
        (index, row, a, b) => {
          const layout = edited(index, row);
          const measures = partsOf(layout).flatMap((part) => part.measures);
          const measure = measures[a % measures.length];
          const at = b * layout.meter.slot;
          if (!measure || at >= measure.ticks) return;
          const made = restructured(layout, { kind: 'split', measure: measure.id, at });
          if (!made.ok) return;
          splits += 1;
          const cut = made.value.layout;
          expect(passTicks(tuneOf(cut))).toBe(passTicks(tuneOf(layout)));
          expect(made.value.laidAside).toEqual([measure.id]);
          const piece = partsOf(cut)
            .flatMap((part) => part.measures)
            .find(({ id }) => find(layout, id)?.entry.aside !== false);
          const back = piece && restructured(cut, { kind: 'join', measure: piece.id });
          if (!back?.ok) throw new Error('the pieces cannot be joined');
          expect(tuneOf(back.value.layout)).toEqual(tuneOf(layout));
          const put = restructured(cut, { kind: 'put-back', measure: measure.id });
          expect(put.ok && tuneOf(put.value.layout)).toEqual(tuneOf(layout));
        },
      ),
      { seed: 3, numRuns: 200 },
    );
    expect(splits).toBeGreaterThan(100);
  });

  test('a join keeps the length of a pass, and splitting there brings both back', () => {
    let joins = 0;
    fc.assert(
      fc.property(anyTuneIndex, whims, fc.nat(99), (index, row, a) => {
        const layout = edited(index, row);
        const measures = partsOf(layout).flatMap((part) => part.measures);
        const pairs = measures.filter((one) => {
          const next = nextOf(layout, one.id);
          return next && one.startsAt + one.ticks + next.ticks <= layout.meter.measure;
        });
        const first = pairs[a % Math.max(1, pairs.length)];
        if (!first) return;
        const made = restructured(layout, { kind: 'join', measure: first.id });
        if (!made.ok) return;
        joins += 1;
        expect(passTicks(tuneOf(made.value.layout))).toBe(passTicks(tuneOf(layout)));
        const whole = partsOf(made.value.layout)
          .flatMap((part) => part.measures)
          .find((one) => find(layout, one.id)?.entry.aside !== false);
        if (!whole) throw new Error('nothing was joined');
        const back = restructured(made.value.layout, {
          kind: 'split',
          measure: whole.id,
          at: first.ticks,
        });
        expect(back.ok && played(back.value.layout)).toEqual(played(layout));
      }),
      { seed: 4, numRuns: 300 },
    );
    expect(joins).toBeGreaterThan(40);
  });

  test('cutting a part in two, and putting two together, leaves what a pass plays', () => {
    let cuts = 0;
    fc.assert(
      fc.property(anyTuneIndex, whims, fc.nat(99), (index, row, a) => {
        const layout = edited(index, row);
        const measures = partsOf(layout).flatMap((part) => part.measures);
        const measure = measures[a % measures.length];
        const made = measure && restructured(layout, { kind: 'cut-part', measure: measure.id });
        if (!made?.ok) return;
        cuts += 1;
        expect(played(made.value.layout)).toEqual(played(layout));
        const letter = find(layout, measure?.id ?? missing())?.part.letter ?? '';
        const back = restructured(made.value.layout, { kind: 'join-parts', part: letter });
        if (layout.form.includes(letter)) {
          expect(back.ok && played(back.value.layout)).toEqual(played(layout));
        }
      }),
      { seed: 5, numRuns: 200 },
    );
    expect(cuts).toBeGreaterThan(60);
  });

  test('a pickup takes its time from what ends the part, and gives it back', () => {
    for (let index = 0; index < 4; index++) {
      const layout = layoutOf(editedTune(index));
      const part = layout.parts.at(-1)?.letter ?? '';
      if ((layout.parts.at(-1)?.entries[0]?.measure.startsAt ?? 0) > 0) continue;
      const fresh = namesFrom('n');
      const made = restructured(layout, { kind: 'pickup', part, slots: 2, id: fresh() });
      if (!made.ok) throw new Error(made.problems[0]?.words);
      expect(passTicks(tuneOf(made.value.layout))).toBe(passTicks(tuneOf(layout)));
      const back = restructured(made.value.layout, { kind: 'no-pickup', part });
      expect(back.ok && tuneOf(back.value.layout)).toEqual(tuneOf(layout));
    }
  });

  test('what is taken out comes back to its place', () => {
    fc.assert(
      fc.property(anyTuneIndex, whims, fc.nat(99), (index, row, a) => {
        const layout = edited(index, row);
        const measures = partsOf(layout).flatMap((part) => part.measures);
        const measure = measures[a % measures.length]?.id ?? missing();
        const out = restructured(layout, { kind: 'remove', measure });
        if (!out.ok) return;
        const back = restructured(out.value.layout, { kind: 'put-back', measure });
        if (!back.ok) throw new Error(back.problems[0]?.words);
        expect(partsOf(back.value.layout).map(({ letter }) => letter)).toEqual(
          partsOf(layout).map(({ letter }) => letter),
        );
        expect(find(back.value.layout, measure)?.entry).toEqual(find(layout, measure)?.entry);
      }),
      { seed: 6, numRuns: 200 },
    );
  });
});

function missing(): never {
  throw new Error('no measure');
}
