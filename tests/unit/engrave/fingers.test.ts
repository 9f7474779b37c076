import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { fingersByStroke, frettingPath } from '../../../lib/hands/fretting';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { bar } from '../../kit/tab';

const [OPEN_G] = TUNINGS;
if (!OPEN_G) throw new RangeError('no tunings');
const NECK = neckOf(OPEN_G);

describe('fingers under the tab', () => {
  const measure = bar('4/4', 's3 h3.2 b123 t5 | b1.2+2.1 . b123 t5');
  const path = frettingPath([measure], NECK, 60);
  if (!path.ok) throw new RangeError('nobody can play this');
  const fingers = fingersByStroke(path.value);
  const picture = engraveMeasure(measure, { fingers });

  test('stand under their strokes, one for every stopped note, and open strokes have none', () => {
    const drawn = picture.primitives.flatMap((one) =>
      one.role === 'finger' && one.kind === 'text' ? [`${one.stroke}: ${one.text}`] : [],
    );
    // Two strings at frets 1 and 2 take two fingers, one fret higher one finger higher (common practice, no source).
    expect(drawn).toEqual([`1: ${fingers.get(1)?.join(' ')}`, `4: ${fingers.get(4)?.join(' ')}`]);
    const [first = 0, second = 0] = fingers.get(4) ?? [];
    expect(first - second).toBe(1);
  });

  test('stay inside the picture, which is taller for them', () => {
    expect(picture.height).toBeGreaterThan(engraveMeasure(measure).height);
    for (const one of picture.primitives)
      if (one.kind === 'text') expect(one.y).toBeLessThanOrEqual(picture.height);
  });
});
