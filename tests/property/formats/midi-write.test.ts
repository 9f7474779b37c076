import fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { expect, test } from 'vitest';
import { toMidi } from '../../../lib/formats/midi/write';
import { PLAIN_PASS } from '../../../lib/formats/pass';
import { plainMelody } from '../../../lib/formats/plain-melody';
import type { Tune } from '../../../lib/tune';
import { playOrder } from '../../../lib/tune';
import type { Sounded } from './heard';
import { heardInMelody, heardInPasses } from './heard';
import { anyTune } from './tunes';

interface Track {
  readonly name: string;
  readonly notes: readonly Sounded[];
  readonly markers: readonly (readonly [at: number, text: string])[];
  readonly end: number;
}

/** A file's tracks in absolute ticks, by an independent reader. */
function tracksIn(bytes: Uint8Array): readonly Track[] {
  return parseMidi(bytes).tracks.map((events) => {
    let at = 0;
    let name = '';
    const open = new Map<number, number>();
    const notes: Sounded[] = [];
    const markers: [number, string][] = [];
    for (const event of events) {
      at += event.deltaTime;
      if (event.type === 'trackName') name = event.text;
      if (event.type === 'marker') markers.push([at, event.text]);
      if (event.type === 'noteOn') open.set(event.noteNumber, at);
      const start = event.type === 'noteOff' ? open.get(event.noteNumber) : undefined;
      if (event.type === 'noteOff' && start !== undefined)
        notes.push([start, at - start, event.noteNumber]);
    }
    notes.sort((a, b) => a[0] - b[0] || a[2] - b[2]);
    return { name, notes, markers, end: at };
  });
}

/** As a keyboard can play it: one note a pitch, a stopped brush a click of a 32nd. */
function onKeys(tune: Tune): readonly Sounded[] {
  const chops = new Set<number>();
  let start = 0;
  for (const { measure } of playOrder(tune)) {
    for (const { at, by } of measure.strokes) if (by === 'chop') chops.add(start + at);
    start += measure.ticks;
  }
  return heardInPasses(tune, [PLAIN_PASS])
    .map(([at, length, midi]): Sounded => [at, chops.has(at) ? Math.min(60, length) : length, midi])
    .filter(([at, , midi], i, all) => at !== all[i - 1]?.[0] || midi !== all[i - 1]?.[2]);
}

test('an independent reader finds the melody and every stroke of each pass in their tracks', () => {
  fc.assert(
    fc.property(anyTune, (tune) => {
      const passes = [PLAIN_PASS, { name: 'Pass 2', strokes: {} }];
      const tracks = tracksIn(toMidi({ tune, passes }));
      expect(tracks.slice(1).map(({ name }) => name)).toEqual(['Melody', 'Plain', 'Pass 2']);
      const visits = playOrder(tune);
      const offset = visits[0]?.measure.startsAt ?? 0;
      const total = visits.reduce((sum, { measure }) => sum + measure.ticks, 0);
      const from =
        (start: number) =>
        ([at, length, midi]: Sounded) => [at - start, length, midi];
      const [head, melody, first, second] = tracks;
      expect(first?.notes.map(from(offset))).toEqual(onKeys(tune));
      expect(second?.notes.map(from(offset + total))).toEqual(onKeys(tune));
      const once = heardInMelody(plainMelody(tune));
      expect(melody?.notes.slice(0, once.length).map(from(offset))).toEqual(once);
      expect(melody?.notes.slice(once.length).map(from(offset + total))).toEqual(once);
      expect(tracks.map(({ end }) => end)).toEqual(tracks.map(() => offset + 2 * total));
      expect(head?.markers.filter(([at]) => at === offset).map(([, text]) => text)).toEqual([
        'Plain',
        tune.form[0],
      ]);
    }),
    { seed: 1, numRuns: 200 },
  );
});
