import * as v from 'valibot';
import { MAX_PASSES } from '../../lib/passes/limits';
import type { MeterName } from '../../lib/rhythm';
import { isMeterName, meterNamed } from '../../lib/rhythm';
import type { ParticipantId } from '../../lib/units';
import type { PlayState } from '../board/play-state';
import { isParticipantId } from '../board/roles';
import { transportValue } from '../board/transport-value';

const ticks = v.pipe(v.number(), v.integer(), v.minValue(0));
const places = v.array(ticks);

const playable = {
  name: v.pipe(v.string(), v.regex(/^[0-9a-f]{16}$/)),
  passes: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MAX_PASSES)),
};

const timeline = v.object({
  /** Whole as it is written, and known by its name as it is read. */
  meter: v.pipe(
    v.object({ name: v.custom<MeterName>(isMeterName) }),
    v.transform(({ name }) => meterNamed(name)),
  ),
  starts: places,
  offsets: places,
  total: ticks,
});

const state: v.GenericSchema<unknown, PlayState> = v.object({
  transport: transportValue,
  going: v.object({ ...playable, timeline, circle: v.boolean() }),
  agreed: v.object(playable),
  as: v.custom<ParticipantId>(isParticipantId),
});

/** To whoever only follows: what is played and when. Said at once, and again whenever that has changed and is kept. */
export const play = v.object({ kind: v.literal('play'), state });
