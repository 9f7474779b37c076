import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { METER_NAMES, meterNamed, msFromTicks } from '../../lib/rhythm';
import { beatsBetween, visitsBetween } from '../../lib/transport/beats';
import * as change from '../../lib/transport/change';
import { positionAt } from '../../lib/transport/place';
import type { Timeline } from '../../lib/transport/timeline';
import type { Playing, Position, Transport } from '../../lib/transport/transport';
import type { BoardId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import { readBoard } from '../../shared/board/read';
import { writeTransport } from '../../shared/board/write';

/** Passes of up to twelve measures, some with a pickup. */
const timeline: fc.Arbitrary<Timeline> = fc
  .record({
    name: fc.constantFrom(...METER_NAMES),
    count: fc.integer({ min: 1, max: 12 }),
    pickup: fc.boolean(),
  })
  .map(({ name, count, pickup }) => {
    const meter = meterNamed(name);
    const first = pickup ? 2 * meter.slot : meter.measure;
    const starts = Array.from({ length: count }, (_, i) =>
      i === 0 ? 0 : first + (i - 1) * meter.measure,
    );
    const offsets = starts.map((_, i) => (i === 0 && pickup ? meter.measure - first : 0));
    return { meter, starts, offsets, total: first + (count - 1) * meter.measure };
  });

const tempo = fc.integer({ min: 20, max: 240 });
const PASSES = 6;

type Press = (transport: Transport, timeline: Timeline, nowMs: number) => Transport;

const pass = fc.integer({ min: 1, max: PASSES });
/** Everything that a leader can press while it goes on. */
const press: fc.Arbitrary<{ readonly name: string; readonly press: Press }> = fc.oneof(
  fc.constant({ name: 'foot up', press: change.withFootUp }),
  fc.constant({
    name: 'foot down',
    press: ((transport) => change.withFootDown(transport, PASSES)) satisfies Press,
  }),
  fc.constant({ name: 'pause', press: change.withPause }),
  fc.constant({ name: 'go on', press: change.withGoOn }),
  tempo.map((bpm) => ({
    name: `tempo ${bpm}`,
    press: ((transport, line, nowMs) =>
      change.withTempo(transport, line, nowMs, bpm)) satisfies Press,
  })),
  pass.map((to) => ({
    name: `jump ${to}`,
    press: ((transport, line, nowMs) =>
      change.withJump(transport, line, nowMs, to)) satisfies Press,
  })),
  fc.boolean().map((on) => ({
    name: `repeat ${on}`,
    press: ((transport, line, nowMs) =>
      change.withRepeat(transport, line, nowMs, on)) satisfies Press,
  })),
  fc.record({ step: fc.integer({ min: 1, max: 30 }), to: tempo }).map((ramp) => ({
    name: `ramp ${ramp.step} to ${ramp.to}`,
    press: ((transport, line, nowMs) =>
      change.withRamp(transport, line, nowMs, ramp)) satisfies Press,
  })),
);

const session = fc.record({
  timeline,
  tempo,
  /** Each: what is pressed, and how long after the one before, ms. */
  presses: fc.array(fc.tuple(press, fc.integer({ min: 1, max: 9000 })), { maxLength: 8 }),
});

/** Is it the same place, to a thousandth of a beat? */
function samePlace(a: Position, b: Position, beat: number): boolean {
  if (a.kind !== 'playing' || b.kind !== 'playing')
    return JSON.stringify(a) === JSON.stringify(b) || (a.kind === 'ended' && b.kind === 'ended');
  const near = Math.abs(a.ticks - b.ticks) < beat / 1000;
  return a.pass === b.pass && a.visit === b.visit && near;
}

/** Every transport on the way, each with when it was set. */
function run({
  timeline: line,
  tempo: bpm,
  presses,
}: typeof session extends fc.Arbitrary<infer T> ? T : never) {
  let transport: Transport = change.startedAt(line, 0, bpm, 1, PASSES);
  let nowMs = 0;
  const steps: { readonly transport: Transport; readonly nowMs: number }[] = [{ transport, nowMs }];
  for (const [{ press: act }, later] of presses) {
    nowMs += later;
    transport = act(transport, line, nowMs);
    steps.push({ transport, nowMs });
  }
  return steps;
}

const playing = (transport: Transport): Playing => {
  if (transport.kind !== 'playing') throw new RangeError('it was stopped');
  return transport;
};

describe('whatever leaders press, whenever', () => {
  test('who hears of it up to 400 ms late was at the right place until then, unless a count-in began', () => {
    fc.assert(
      fc.property(session, fc.integer({ min: 0, max: 399 }), (one, late) => {
        const steps = run(one);
        for (const [i, { transport, nowMs }] of steps.entries()) {
          const before = steps[i - 1]?.transport;
          const at = nowMs + late;
          if (!before) continue;
          const was = positionAt(before, one.timeline, at);
          const is = positionAt(transport, one.timeline, at);
          if (was.kind !== 'playing' || is.kind === 'counting') continue;
          expect(samePlace(was, is, one.timeline.meter.beat), JSON.stringify({ was, is })).toBe(
            true,
          );
        }
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  test('music never jumps inside a pass: each measure is played whole and its neighbour follows', () => {
    fc.assert(
      fc.property(session, (one) => {
        const last = run(one).at(-1);
        if (!last) return;
        const { starts } = one.timeline;
        const visits = visitsBetween(
          last.transport,
          one.timeline,
          last.nowMs,
          last.nowMs + 120_000,
        );
        for (const [i, visit] of visits.entries()) {
          const next = visits[i + 1];
          if (!next) continue;
          const rested = playing(last.transport).legs.some(
            ({ kind, atMs }) => kind === 'rest' && Math.abs(atMs - visit.endMs) < 1,
          );
          if (rested) continue;
          expect(Math.abs(next.atMs - visit.endMs)).toBeLessThan(0.1);
          expect(next.visit).toBe((visit.visit + 1) % starts.length);
        }
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  test('position never goes back inside a pass and moves as fast as its tempo', () => {
    fc.assert(
      fc.property(session, fc.integer({ min: 1, max: 200 }), (one, stepMs) => {
        const last = run(one).at(-1);
        if (!last) return;
        const { meter, starts } = one.timeline;
        for (let i = 0; i < 100; i += 1) {
          const at = last.nowMs + i * stepMs;
          const a = positionAt(last.transport, one.timeline, at);
          const b = positionAt(last.transport, one.timeline, at + stepMs);
          if (a.kind !== 'playing' || b.kind !== 'playing' || a.pass !== b.pass) continue;
          const moved = (starts[b.visit] ?? 0) + b.ticks - (starts[a.visit] ?? 0) - a.ticks;
          if (a.tempo !== b.tempo || b.passEndMs - a.passEndMs > 1) continue;
          expect(Math.abs(msFromTicks(meter, a.tempo, moved) - stepMs)).toBeLessThan(0.01);
        }
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  test('beats come one a beat at their tempo, each once, however the windows are cut', () => {
    fc.assert(
      fc.property(session, fc.integer({ min: 30, max: 700 }), (one, window) => {
        const last = run(one).at(-1);
        if (!last) return;
        const from = last.nowMs;
        const whole = beatsBetween(last.transport, one.timeline, from, from + 20_000);
        const pieces = [];
        for (let at = from; at < from + 20_000; at += window)
          pieces.push(
            ...beatsBetween(last.transport, one.timeline, at, Math.min(at + window, from + 20_000)),
          );
        expect(pieces.map(({ atMs }) => Math.round(atMs * 10))).toEqual(
          whole.map(({ atMs }) => Math.round(atMs * 10)),
        );
        for (const [i, beat] of whole.entries()) {
          const next = whole[i + 1];
          if (next) expect(next.atMs).toBeGreaterThan(beat.atMs);
        }
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  test('it is written and read back as it is, and grows no longer than a board takes', () => {
    const board = demoDocuments();
    fc.assert(
      fc.property(session, (one) => {
        for (const { transport } of run(one)) {
          writeTransport(board.lead, transport);
          expect(readBoard('board' as BoardId, board)?.transport).toEqual(transport);
          expect(playing(transport).legs.length).toBeLessThanOrEqual(8);
        }
      }),
      { seed: 1, numRuns: 20 },
    );
  });

  test('two leaders who press at the same moment end in one state, which is one of theirs, whole', () => {
    fc.assert(
      fc.property(session, press, press, fc.nat(9000), (one, first, second, later) => {
        const last = run(one).at(-1);
        if (!last) return;
        const [a, b] = [demoDocuments(), demoDocuments()];
        writeTransport(a.lead, last.transport);
        Y.applyUpdate(b.lead, Y.encodeStateAsUpdate(a.lead));
        const nowMs = last.nowMs + later;
        const said = [first, second].map(({ press: act }) =>
          act(last.transport, one.timeline, nowMs),
        );
        if (said[0]) writeTransport(a.lead, said[0]);
        if (said[1]) writeTransport(b.lead, said[1]);
        Y.applyUpdate(b.lead, Y.encodeStateAsUpdate(a.lead));
        Y.applyUpdate(a.lead, Y.encodeStateAsUpdate(b.lead));
        const ends = [a, b].map((board) => readBoard('board' as BoardId, board)?.transport);
        expect(ends[0]).toEqual(ends[1]);
        expect(said).toContainEqual(ends[0]);
      }),
      { seed: 1, numRuns: 50 },
    );
  });
});
