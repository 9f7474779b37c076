import { describe, expect, test } from 'vitest';
import { FAMILIES } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import type { MeterName } from '../../../lib/rhythm';
import { METER_NAMES } from '../../../lib/rhythm';
import { offered } from './offered';

/** A bum-ditty on string 3, what becomes of it, and the stroke that is asked about. */
interface Row {
  readonly plain: string;
  readonly varied: string;
  readonly stroke?: number;
}

const LONG = 's3.2 . b123 t5';
const JIG = 's3.2 b123 t5';

// What each family makes of strike, wait, brush, thumb, where a measure has four slots to a bum-ditty: common practice, no source.
const FOUR_SLOTS: Readonly<Record<Exclude<FamilyId, 'triplet'>, Row>> = {
  'hammer-on': { plain: LONG, varied: 's3 h3.2 b123 t5' },
  'pull-off': { plain: LONG, varied: 's3.2 p3 b123 t5' },
  slide: { plain: 's3.4 . b123 t5', varied: 's3.2 l3.4 b123 t5' },
  'double-thumb': { plain: LONG, varied: 's3.2 t5 b123 t5' },
  'drop-thumb': { plain: LONG, varied: 's3.2 t4 s3.2 t5' },
  'added-brush': { plain: 's3 . . t5', varied: 's3 . b123 t5' },
  skip: { plain: LONG, varied: 'r t3.2 b123 t5' },
  'hammer-from-nowhere': { plain: LONG, varied: 's3.2 h2.2 b123 t5' },
  'alternate-pull-off': { plain: LONG, varied: 's3.2 k2 b123 t5' },
  'stopped-hand': { plain: LONG, varied: 's3.2 . x123 t5', stroke: 1 },
};

// In jig time the brush gives way, and the hand comes up once: common practice, no source.
const THREE_SLOTS: Readonly<Record<FamilyId, Row>> = {
  'hammer-on': { plain: JIG, varied: 's3 h3.2 t5' },
  'pull-off': { plain: JIG, varied: 's3.2 p3 t5' },
  slide: { plain: 's3.4 b123 t5', varied: 's3.2 l3.4 t5' },
  'double-thumb': { plain: 's3.2 b123 .', varied: 's3.2 b123 t5', stroke: 1 },
  'drop-thumb': { plain: JIG, varied: 's3.2 . t4' },
  'added-brush': { plain: 's3 . t5', varied: 's3 b123 t5' },
  skip: { plain: 's3.2 . t5', varied: 'r h3.2 t5' },
  'hammer-from-nowhere': { plain: JIG, varied: 's3.2 h2.2 t5' },
  'alternate-pull-off': { plain: JIG, varied: 's3.2 k2 t5' },
  triplet: { plain: JIG, varied: 's3.2~160 h3.4~160 p3.2~160 t5' },
  'stopped-hand': { plain: JIG, varied: 's3.2 x123 t5', stroke: 1 },
};

/** A third of two slots in ticks: an eighth and an eighth, in 2/4 a sixteenth and a sixteenth. */
function fourSlots(id: FamilyId, meter: MeterName): Row {
  if (id !== 'triplet') return FOUR_SLOTS[id];
  const third = meter === '2/4' ? 80 : 160;
  return { plain: LONG, varied: `s3.2~${third} h3.4~${third} p3.2~${third} b123 t5` };
}

/** What follows the bum-ditty to the end of the measure. */
const REST: Readonly<Record<MeterName, string>> = {
  '4/4': 's2 . b123 t5',
  '2/2': 's2 . b123 t5',
  '2/4': 's2 . b123 t5',
  '3/4': 'b123 t5',
  '6/8': 's2 b123 t5',
};

describe.each(FAMILIES.map(({ id }) => id))('%s is possible', (id) => {
  test.each(METER_NAMES)('in %s in the first bum-ditty', (meter) => {
    const { plain, varied, stroke = 0 } = meter === '6/8' ? THREE_SLOTS[id] : fourSlots(id, meter);
    const rest = REST[meter];
    const all = offered(id, `${plain} | ${rest}`, { meter, stroke });
    expect(all).toContain(`${varied} | ${rest}`);
  });

  test.each(METER_NAMES.filter((meter) => meter !== '3/4'))('in %s in the last one', (meter) => {
    const { plain, varied, stroke = 0 } = meter === '6/8' ? THREE_SLOTS[id] : fourSlots(id, meter);
    const before = REST[meter];
    const all = offered(id, `${before} | ${plain}`, { meter, stroke: stroke + 3 });
    expect(all).toContain(`${before} | ${varied}`);
  });

  test.each(METER_NAMES.filter((meter) => meter !== '3/4'))('in %s in a pickup', (meter) => {
    const { plain, varied, stroke = 0 } = meter === '6/8' ? THREE_SLOTS[id] : fourSlots(id, meter);
    const startsAt = { '4/4': 960, '2/2': 960, '2/4': 480, '3/4': 960, '6/8': 720 }[meter];
    expect(offered(id, plain, { meter, stroke, startsAt })).toContain(varied);
  });
});
