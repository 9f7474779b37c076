import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { SoundEvent } from '../../../lib/sound/event';
import { CEILING } from '../../../lib/sound/limiter';
import { renderSound, SoundRenderer } from '../../../lib/sound/render';
import { STRINGS } from '../../../lib/units';
import { sameBits } from '../../unit/sound/measuring';

const at = fc.double({ min: 0, max: 0.6, noNaN: true });
const string = fc.constantFrom(...STRINGS);
const hz = fc.double({ min: 130, max: 1180, noNaN: true });
const level = fc.double({ min: 0, max: 1, noNaN: true });
const position = fc.double({ min: 0.05, max: 0.5, noNaN: true });

const event: fc.Arbitrary<SoundEvent> = fc.oneof(
  fc.record({
    kind: fc.constant('pluck' as const),
    at,
    string,
    hz,
    level,
    position,
    stopped: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('hammer' as const), at, string, hz, level }),
  fc.record({ kind: fc.constant('pull' as const), at, string, hz, level, position }),
  fc.record({ kind: fc.constant('slide' as const), at, string, hz }),
  fc.record({ kind: fc.constant('damp' as const), at, string }),
  fc.record({ kind: fc.constant('click' as const), at, accent: fc.boolean() }),
);
const events = fc.array(event, { maxLength: 60 });
const sampleRate = fc.constantFrom(8000, 22_050, 44_100, 48_000, 96_000);
const FULL = { level: 1, melody: 1, drone: 1, click: 1 };

describe('anything that hands can do, however quickly', () => {
  test('stays a number and below the ceiling', () => {
    fc.assert(
      fc.property(events, sampleRate, (list, rate) => {
        const sound = renderSound(list, { sampleRate: rate, channels: 1, mix: FULL });
        expect(sound.every((sample) => Math.abs(sample) <= CEILING)).toBe(true);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  test('dies away', () => {
    fc.assert(
      fc.property(events, sampleRate, (list, rate) => {
        const renderer = new SoundRenderer(rate, FULL);
        renderer.schedule(list);
        renderer.render(new Float32Array(6 * rate));
        const rest = new Float32Array(256);
        renderer.render(rest);
        expect(rest.every((sample) => sample === 0)).toBe(true);
        expect(renderer.sounds).toBe(false);
      }),
      { seed: 2, numRuns: 30 },
    );
  });

  test('is the same in blocks of any lengths, and told at once or on the way', () => {
    fc.assert(
      fc.property(
        events,
        fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1 }),
        (list, sizes) => {
          const whole = renderSound(list, { sampleRate: 22_050, channels: 1, mix: FULL });
          const early = list.filter((each) => each.at < 0.3);
          const late = list.filter((each) => each.at >= 0.3);
          const renderer = new SoundRenderer(22_050, FULL);
          renderer.schedule(early);
          const parts = new Float32Array(whole.length);
          let told = false;
          for (let done = 0, i = 0; done < parts.length; i += 1) {
            const to = Math.min(parts.length, done + (sizes[i % sizes.length] ?? 1));
            if (!told && to > 0.25 * 22_050) {
              renderer.schedule(late);
              told = true;
            }
            renderer.render(parts, done, to);
            done = to;
          }
          expect(sameBits(parts, whole)).toBe(true);
        },
      ),
      { seed: 3, numRuns: 40 },
    );
  });
});
