import { familyById } from '../../../lib/embellish/all';
import type { Answer, FamilyId } from '../../../lib/embellish/family';
import type { MeterName } from '../../../lib/rhythm';
import type { Neck, TuningId } from '../../../lib/tuning';
import { neckOf, tuningById } from '../../../lib/tuning';
import { bar, textOf } from '../../kit/tab';

export function neckIn(id: TuningId, capo = 0): Neck {
  const tuning = tuningById(id);
  if (!tuning) throw new RangeError(`no tuning ${id}`);
  return neckOf(tuning, capo);
}

export interface Asked {
  /** Index of the stroke; the first unless given. */
  readonly stroke?: number;
  readonly meter?: MeterName;
  readonly neck?: Neck;
  readonly startsAt?: number;
  readonly ticks?: number;
}

function measureFor(text: string, { meter = '4/4', startsAt, ticks }: Asked) {
  return bar(meter, text, {
    ...(startsAt === undefined ? {} : { startsAt }),
    ...(ticks === undefined ? {} : { ticks }),
  });
}

/** What a family answers for a stroke of a measure in the one-line notation. */
export function answered(family: FamilyId, text: string, asked: Asked = {}): Answer {
  const { stroke = 0, neck = neckIn('gDGBD') } = asked;
  return familyById(family).apply(measureFor(text, asked), stroke, neck);
}

/** The offers in the notation, in order. */
export function offered(family: FamilyId, text: string, asked: Asked = {}): readonly string[] {
  const measure = measureFor(text, asked);
  return answered(family, text, asked).offers.map(({ strokes }) => textOf({ ...measure, strokes }));
}

/** The refusals as "code: words"; "offered" where there is an offer. */
export function refusedFor(family: FamilyId, text: string, asked: Asked = {}): readonly string[] {
  const { offers, refusals } = answered(family, text, asked);
  return [...offers.map(() => 'offered'), ...refusals.map((r) => `${r.code}: ${r.words}`)];
}
