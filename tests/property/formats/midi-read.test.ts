import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bigEndian, chunk } from '../../../lib/formats/midi/bytes';
import { readMidi } from '../../../lib/formats/midi/read';
import type { SoundingNote } from '../../../lib/formats/midi/track';
import { noteEvents, trackBytes } from '../../../lib/formats/midi/track';
import { toMidi } from '../../../lib/formats/midi/write';
import { plainMelody } from '../../../lib/formats/plain-melody';
import { signatureOf } from '../../../lib/formats/spelling';
import { heardInMelody } from './heard';
import { checkMelody, checkProblems } from './sound-results';
import { anyTune } from './tunes';

/** How many files are mutated; `FUZZ_RUNS=10000` for all of what is promised. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 1500);

/** Tunes whose melody sounds and that begin at a bar line. */
const tunes = anyTune.filter(
  (tune) =>
    heardInMelody(plainMelody(tune)).length > 0 &&
    tune.parts.every(({ measures }) => measures.every(({ ticks }) => ticks === tune.meter.measure)),
);

test('the melody of our own files comes back note by note, with meter, tempo, signature and title', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const read = readMidi(toMidi({ tune }));
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      const { melody, remarks } = read.value;
      const heard = heardInMelody(melody);
      const first = heardInMelody(plainMelody(tune));
      // A file begins at the bar line of its first note.
      const rest = Math.floor((first[0]?.[0] ?? 0) / tune.meter.measure) * tune.meter.measure;
      const late =
        (first[0]?.[0] ?? 0) - rest >= tune.meter.measure / 2 ? (first[0]?.[0] ?? 0) : rest;
      expect(heard.map(([at, length, midi]) => [at + late, length, midi])).toEqual(first);
      expect(melody.meter).toEqual(tune.meter);
      expect(melody.tempo).toBeCloseTo(tune.tempo, 2);
      expect(signatureOf(melody.key)).toBe(signatureOf(tune.key));
      expect(melody.title).toBe(tune.title);
      expect(remarks.filter((remark) => !remark.startsWith('Of '))).toEqual([]);
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('times through a part that are the same are one part', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const plain = plainMelody(tune);
      const silent = plain.parts.some(({ measures }) =>
        measures.some(({ notes }) => notes[0]?.at !== 0),
      );
      const distinct = new Set(
        plain.parts.map(({ measures }) => JSON.stringify(measures.map((m) => m.notes))),
      );
      const endings = plain.parts.some(({ measures }) => measures.some((m) => m.endings));
      fc.pre(!silent && !endings && distinct.size === plain.parts.length);
      const read = readMidi(toMidi({ tune }));
      expect(read.ok && read.value.melody.form).toEqual(tune.form);
    }),
    { seed: 1, numRuns: 60 },
  );
});

/** A bare file of one track with 96 ticks a quarter. */
function fileOf(notes: readonly SoundingNote[]): Uint8Array {
  const track = trackBytes(noteEvents(notes, 0), 96 * 64);
  return Uint8Array.from([...chunk('MThd', [0, 0, 0, 1, ...bigEndian(96, 2)]), ...track]);
}

test('a tune that is played up to a thirty-second early or late is written as it was meant', () => {
  const played = fc.array(
    fc.record({
      eighths: fc.constantFrom(1, 1, 2, 2, 3, 4),
      midi: fc.integer({ min: 55, max: 80 }),
      off: fc.integer({ min: -9, max: 9 }),
      early: fc.integer({ min: 2, max: 20 }),
    }),
    { minLength: 4, maxLength: 30 },
  );
  fc.assert(
    fc.property(played, (list) => {
      let at = 0;
      const meant: [number, number, number][] = [];
      const notes = list.map(({ eighths, midi, off, early }): SoundingNote => {
        meant.push([at * 5, eighths * 240, midi]);
        const start = Math.max(0, at + off);
        const note = {
          at: start,
          length: Math.max(12, at + eighths * 48 - early - start),
          midi,
          velocity: 90,
        };
        at += eighths * 48;
        return note;
      });
      const read = readMidi(fileOf(notes));
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      const heard = heardInMelody(read.value.melody);
      // The last note may end early: nothing follows that shows how long it was meant.
      expect(heard.slice(0, -1)).toEqual(meant.slice(0, -1));
      expect(heard.at(-1)?.[0]).toBe(meant.at(-1)?.[0]);
    }),
    { seed: 1, numRuns: 300 },
  );
});

describe('a mutated file is read or refused in words, never thrown at', () => {
  const files = fc.sample(anyTune, { seed: 7, numRuns: 5 }).map((tune) => toMidi({ tune }));
  const mutated = fc
    .tuple(
      fc.constantFrom(...files),
      fc.array(
        fc.record({
          at: fc.nat(1500),
          byte: fc.constantFrom(0, 1, 0x2f, 0x7f, 0x80, 0x90, 0xf0, 0xf7, 0xff, 64),
        }),
        { maxLength: 6 },
      ),
      fc.nat(2000),
    )
    .map(([file, edits, end]) => {
      const bytes = file.slice(0, end < 1200 ? file.length : end);
      for (const { at, byte } of edits) if (at < bytes.length) bytes[at] = byte;
      return bytes;
    });
  const check = (bytes: Uint8Array) => {
    const read = readMidi(bytes);
    if (!read.ok) checkProblems(read.problems);
    else checkMelody(read.value.melody);
    return read.ok ? 'read' : 'refused';
  };
  test('bytes changed, files cut off', () => {
    const counts = { read: 0, refused: 0 };
    fc.assert(
      fc.property(mutated, (bytes) => {
        counts[check(bytes)] += 1;
      }),
      { seed: 1, numRuns: RUNS },
    );
    expect(Math.min(counts.read, counts.refused)).toBeGreaterThan(20);
  });
  test('any bytes at all after a header', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        const head = [...chunk('MThd', [0, 1, 0, 1, 1, 0xe0]), ...chunk('MTrk', [...bytes])];
        check(Uint8Array.from(head));
        check(bytes);
      }),
      { seed: 1, numRuns: Math.ceil(RUNS / 3) },
    );
  });
});
