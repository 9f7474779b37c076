import type { FamilyId } from '../embellish/family';
import type { Level } from '../hands/level';
import type { Key } from '../harmony';
import type { Meter } from '../rhythm';
import type { Measure } from '../tab/measure';
import type { Part, PlainMeasure } from '../tune';
import { chordInForce, measureOf } from '../tune';
import type { Neck } from '../tuning';
import type { Bpm, MeasureId } from '../units';
import type { Idea, IdeaOptions } from './ideas';
import { ideas } from './ideas';

/** What a part is played with; a `Tune` is one. */
export interface PartSetting {
  readonly meter: Meter;
  readonly neck: Neck;
  readonly key: Key;
  readonly tempo: Bpm;
}

/** A measure of a part with what to play instead of the plain strokes; without an idea it stays plain. */
export interface PartMeasure {
  readonly id: MeasureId;
  readonly idea?: Idea;
}

/** Chooses one of a measure's ideas; `before` are those chosen so far, in order. */
type Choose = (
  offered: (options: IdeaOptions) => readonly Idea[],
  index: number,
  before: readonly PartMeasure[],
) => Idea | undefined;

/** The part with a choice for each measure, each one made between its neighbours as they then stand. */
function walked(part: Part, setting: PartSetting, choose: Choose): readonly PartMeasure[] {
  const { meter, neck, key, tempo } = setting;
  const done: PartMeasure[] = [];
  let before: Measure | undefined;
  for (const [index, plain] of part.measures.entries()) {
    const chord = chordInForce(part.measures, index);
    const next: PlainMeasure | undefined = part.measures[index + 1];
    const measure = measureOf(meter, plain);
    const context = {
      neck,
      key,
      tempo,
      melody: plain.melody,
      ...(chord === undefined ? {} : { chord }),
      ...(plain.chords === undefined ? {} : { chords: plain.chords }),
      ...(before === undefined ? {} : { before }),
      ...(next === undefined ? {} : { after: measureOf(meter, next) }),
    };
    const idea = choose((options) => ideas(measure, context, options), index, done);
    done.push({ id: plain.id, ...(idea === undefined ? {} : { idea }) });
    before = idea === undefined ? measure : { ...measure, strokes: idea.strokes };
  }
  return done;
}

/**
 * The part as an exercise for one family: in every measure as often as it takes it and can still be played and
 * recognised.
 * @param level no measure is harder than this; 5 unless given
 */
export function exercise(
  part: Part,
  family: FamilyId,
  setting: PartSetting,
  level: Level = 5,
): readonly PartMeasure[] {
  return walked(part, setting, (offered) => {
    const found = offered({ family, level, busyness: 1, limit: 8 });
    const most = Math.max(0, ...found.map(({ families }) => families.length));
    return found.find(({ families }) => families.length === most);
  });
}

/** Different ideas that a measure goes through from pass to pass. */
const TURNS = 3;
/** Changed measures after which a family may come again. */
const RESTED = 2;

/**
 * The part as music: few embellishments, no two measures in a row changed, no family again within three changes, others
 * in each pass.
 * @param pass from 1; the same pass always gives the same
 * Source: "music uses few, one swapped for another from pass to pass", common practice, no source.
 */
export function tastefulMix(
  part: Part,
  setting: PartSetting,
  level: Level = 3,
  pass = 1,
): readonly PartMeasure[] {
  return walked(part, setting, (offered, index, before) => {
    if ((index + pass) % 2 === 0) return undefined;
    const last = before
      .flatMap(({ idea }) => (idea ? [idea.families] : []))
      .slice(-RESTED)
      .flat();
    const fresh = offered({ level, busyness: 0 }).filter(({ families }) =>
      families.every((family) => !last.includes(family)),
    );
    const turn = Math.floor((pass - 1) / 2) % TURNS;
    return fresh[Math.min(turn, fresh.length - 1)];
  });
}
