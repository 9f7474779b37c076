import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../lib/engrave/measure';
import type { Picture, Primitive } from '../../lib/engrave/primitives';
import { svgOf } from '../../lib/engrave/svg';
import { anyMeasure, jumbledMeasure } from '../kit/measures';
import { numbersOf } from '../unit/engrave/picture';

const RUNS = { seed: 1, numRuns: 300 } as const;

const anyOptions = fc.record({
  barLeft: fc.constantFrom('none', 'single', 'repeat'),
  barRight: fc.constantFrom('none', 'single', 'double', 'repeat', 'final'),
  chord: fc.constantFrom('G', 'D7'),
  ending: fc.constantFrom('continued' as const, [1], [2]),
  changed: fc.boolean(),
  close: fc.boolean(),
  number: fc.integer({ min: 1, max: 99 }),
  warnAt: fc.array(fc.nat({ max: 12 })),
});

/** Strokes over one another and with gaps between, but in the order of time. */
const crowdedMeasure = jumbledMeasure.map((measure) => ({
  ...measure,
  strokes: [...measure.strokes].sort((a, b) => a.at - b.at),
}));

/** Corners of a primitive, pen and text height counted in; a curve is taken with its control point. */
function corners(each: Primitive): readonly (readonly [number, number])[] {
  switch (each.kind) {
    case 'line':
      return [
        [
          each.x1 - (each.x1 === each.x2 ? each.width / 2 : 0),
          each.y1 - (each.y1 === each.y2 ? each.width / 2 : 0),
        ],
        [
          each.x2 + (each.x1 === each.x2 ? each.width / 2 : 0),
          each.y2 + (each.y1 === each.y2 ? each.width / 2 : 0),
        ],
      ];
    case 'disc':
      return [
        [each.x - each.r, each.y - each.r],
        [each.x + each.r, each.y + each.r],
      ];
    case 'text': {
      const width = each.width ?? each.text.length * each.size * 0.65;
      const left = each.anchor === 'middle' ? each.x - width / 2 : each.x;
      return [
        [left, each.y - each.size * 0.7],
        [left + width, each.y],
      ];
    }
    case 'path':
      return each.steps.flatMap((step) => {
        if (step[0] === 'Z') return [];
        if (step[0] === 'Q') return [[step[1], step[2]] as const, [step[3], step[4]] as const];
        return [[step[1], step[2]] as const];
      });
  }
}

/** Checks tags, attributes and characters of markup as strictly as XML does. Returns the names of the elements. */
function elementsOf(svg: string): readonly string[] {
  expect(svg).not.toMatch(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/u);
  const names: string[] = [];
  const open: string[] = [];
  const token =
    /<(\/?)([a-z]+)((?: [a-z:-]+="[^"<&]*(?:&(?:amp|lt|gt|quot|#39);[^"<&]*)*")*)(\/?)>|((?:[^<>&]|&(?:amp|lt|gt|quot|#39);)+)/giy;
  let end = 0;
  for (let match = token.exec(svg); match; match = token.exec(svg)) {
    end = token.lastIndex;
    const [, closing, name, attributes = '', empty] = match;
    if (name === undefined) continue;
    const keys = [...attributes.matchAll(/ ([a-z:-]+)="/gi)].map(([, key]) => key);
    expect(new Set(keys).size).toBe(keys.length);
    if (closing) expect(open.pop()).toBe(name);
    else {
      names.push(name);
      if (!empty) open.push(name);
    }
  }
  expect(svg.slice(end)).toBe('');
  expect(open).toEqual([]);
  return names;
}

describe('the picture of any measure', () => {
  test('shows every note once, on its string, with its fret, at its stroke', () => {
    fc.assert(
      fc.property(anyMeasure, fc.boolean(), (measure, close) => {
        const wanted = measure.strokes.flatMap(({ by, notes }, stroke) =>
          by === 'chop' ? [] : notes.map((note) => ({ ...note, stroke })),
        );
        const shown = numbersOf(engraveMeasure(measure, { close })).map(
          ({ fret, string, stroke }) => ({
            string,
            fret,
            stroke,
          }),
        );
        expect(shown).toEqual(wanted);
      }),
      RUNS,
    );
  });

  test('x grows with time, and a stroke on a slot stands at its slot', () => {
    fc.assert(
      fc.property(anyMeasure, fc.boolean(), (measure, close) => {
        const { strokes, slots } = engraveMeasure(measure, { close }).places;
        for (const [i, { x }] of strokes.entries()) {
          if (i > 0) expect(x).toBeGreaterThan(strokes[i - 1]?.x ?? 0);
          const slot = (measure.strokes[i]?.at ?? 0) / measure.meter.slot;
          if (Number.isInteger(slot)) expect(x).toBe(slots[slot]);
        }
      }),
      RUNS,
    );
  });

  test('the boxes of the strokes hold their numbers and lie side by side', () => {
    fc.assert(
      fc.property(anyMeasure, fc.boolean(), (measure, close) => {
        const { places, width } = engraveMeasure(measure, { close });
        let reached = 0;
        for (const { x, box } of places.strokes) {
          expect(box.x).toBeCloseTo(reached);
          expect(x).toBeGreaterThan(box.x);
          expect(x).toBeLessThan(box.x + box.width);
          reached = box.x + box.width;
        }
        if (places.strokes.length > 0) expect(reached).toBeCloseTo(width);
      }),
      RUNS,
    );
  });

  test('nothing is drawn outside it', () => {
    fc.assert(
      fc.property(fc.oneof(anyMeasure, crowdedMeasure), anyOptions, (measure, options) => {
        const picture: Picture = engraveMeasure(measure, options);
        for (const each of picture.primitives)
          for (const [x, y] of corners(each)) {
            expect(x, JSON.stringify(each)).toBeGreaterThanOrEqual(-1e-9);
            expect(x, JSON.stringify(each)).toBeLessThanOrEqual(picture.width + 1e-9);
            expect(y, JSON.stringify(each)).toBeGreaterThanOrEqual(-1e-9);
            expect(y, JSON.stringify(each)).toBeLessThanOrEqual(picture.height + 1e-9);
          }
      }),
      RUNS,
    );
  });

  test('numbers on one string never touch, where the strokes are not shorter than a third of a slot (a slot, drawn close)', () => {
    fc.assert(
      fc.property(anyMeasure, fc.boolean(), (measure, close) => {
        const least = close ? measure.meter.slot : (measure.meter.slot * 2) / 3;
        fc.pre(measure.strokes.every(({ length }) => length >= least));
        const numbers = numbersOf(engraveMeasure(measure, { close }));
        for (const string of [1, 2, 3, 4, 5]) {
          const row = numbers.filter((number) => number.string === string);
          for (const [i, { x, width }] of row.entries()) {
            const next = row[i + 1];
            if (next) expect(next.x - x).toBeGreaterThan((width + next.width) / 2);
          }
        }
      }),
      { ...RUNS, maxSkipsPerRun: 1000 },
    );
  });

  test('drawn close, numbers are as large and take more of a picture that is smaller both ways', () => {
    fc.assert(
      fc.property(anyMeasure, (measure) => {
        const [far, near] = [false, true].map((close) => engraveMeasure(measure, { close }));
        expect(near?.width).toBeLessThan(0.65 * (far?.width ?? 0));
        expect(near?.height).toBeLessThan(0.86 * (far?.height ?? 0));
        const sizes = (picture: Picture | undefined) =>
          picture?.primitives.flatMap((each) => (each.kind === 'text' ? [each.size] : []));
        expect(sizes(near)).toEqual(sizes(far));
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  test('is the same every time', () => {
    fc.assert(
      fc.property(anyMeasure, anyOptions, (measure, options) => {
        const again = structuredClone(measure);
        expect(svgOf(engraveMeasure(again, options))).toBe(svgOf(engraveMeasure(measure, options)));
      }),
      { seed: 1, numRuns: 50 },
    );
  });
});

describe('its SVG', () => {
  test('is well-formed whatever the words in it', () => {
    fc.assert(
      fc.property(
        anyMeasure,
        fc.string({ unit: 'binary' }),
        fc.string({ unit: 'grapheme' }),
        (measure, title, chord) => {
          const names = elementsOf(svgOf(engraveMeasure(measure, { chord }), { title, id: 'm1' }));
          expect(names.filter((name) => name === 'svg')).toHaveLength(1);
          expect(['svg', 'title', 'path', 'text', 'circle']).toEqual(
            expect.arrayContaining([...new Set(names)]),
          );
        },
      ),
      RUNS,
    );
  });

  test('holds no number that is none', () => {
    fc.assert(
      fc.property(fc.oneof(anyMeasure, jumbledMeasure), anyOptions, (measure, options) => {
        expect(svgOf(engraveMeasure(measure, options))).not.toMatch(/NaN|Infinity|undefined|e-\d/);
      }),
      RUNS,
    );
  });
});
