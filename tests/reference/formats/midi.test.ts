import { describe, expect, test } from 'vitest';
import { MAX_QUANTITY, quantityBytes } from '../../../lib/formats/midi/bytes';
import { parseMidiFile } from '../../../lib/formats/midi/parse';
import { readMidi } from '../../../lib/formats/midi/read';
import { BANJO, toMidi } from '../../../lib/formats/midi/write';
import { meterNamed } from '../../../lib/rhythm';
import type { Tune } from '../../../lib/tune';
import { neckOf, tuningById } from '../../../lib/tuning';
import type { MeasureId } from '../../../lib/units';

function hex(bytes: Iterable<number>): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join(' ');
}

describe('variable-length quantities', () => {
  // Source: Standard MIDI Files 1.0, the table under "variable-length quantities".
  test.each([
    [0x00, '00'],
    [0x40, '40'],
    [0x7f, '7F'],
    [0x80, '81 00'],
    [0x2000, 'C0 00'],
    [0x3fff, 'FF 7F'],
    [0x4000, '81 80 00'],
    [0x100000, 'C0 80 00'],
    [0x1fffff, 'FF FF 7F'],
    [0x200000, '81 80 80 00'],
    [0x8000000, 'C0 80 80 00'],
    [0xfffffff, 'FF FF FF 7F'],
  ])('%i is written as %s', (value, bytes) => {
    expect(hex(quantityBytes(value))).toBe(bytes);
  });
  test.each([-1, 0.5, MAX_QUANTITY + 1, Number.NaN])('%d is none', (value) => {
    expect(() => quantityBytes(value)).toThrow(RangeError);
  });
});

const tuning = tuningById('gDGBD');
if (!tuning) throw new RangeError('no open G');

/** One measure: the third string open, a quarter, and rest. */
const tune: Tune = {
  title: 'One',
  neck: neckOf(tuning),
  meter: meterNamed('2/4'),
  key: { tonic: 'G', mode: 'major' },
  tempo: 120,
  parts: [
    {
      letter: 'A',
      measures: [
        {
          id: 'm1' as MeasureId,
          startsAt: 0,
          ticks: 960,
          strokes: [
            { at: 0, length: 480, by: 'strike', notes: [{ string: 3, fret: 0 }] },
            { at: 480, length: 480, by: 'rest', notes: [] },
          ],
          melody: [0],
        },
      ],
    },
  ],
  form: ['A'],
};

describe('bytes of a file', () => {
  const bytes = hex(toMidi({ tune }));
  // Source: Standard MIDI Files 1.0, header chunk: MThd, length 6, format, tracks, division.
  test('the header says format 1, three tracks, 480 ticks a quarter', () => {
    expect(bytes.slice(0, 41)).toBe('4D 54 68 64 00 00 00 06 00 01 00 03 01 E0');
  });
  // Source: Standard MIDI Files 1.0: 07 A1 20 is 500000 microseconds a quarter, 120 a minute.
  test('120 quarters a minute', () => {
    expect(bytes).toContain('FF 51 03 07 A1 20');
  });
  // Source: Standard MIDI Files 1.0: numerator, denominator as a power of two, clocks a click (24 a quarter), 32nds a quarter.
  test('2/4', () => {
    expect(bytes).toContain('FF 58 04 02 02 18 08');
  });
  // Source: Standard MIDI Files 1.0, key signature: one sharp, major.
  test('G major', () => {
    expect(bytes).toContain('FF 59 02 01 00');
  });
  // Source: General MIDI 1: banjo is program 106 counted from 1.
  test('the banjo', () => {
    expect(BANJO + 1).toBe(106);
    expect(bytes).toContain('C1 69');
  });
  // Source: Standard MIDI Files 1.0, end of track.
  test('each track ends with its mark at the end of the pass', () => {
    expect(bytes.endsWith('83 60 FF 2F 00')).toBe(true);
    expect(bytes.split('FF 2F 00')).toHaveLength(4);
  });
  test('the note goes on at once and off a quarter later', () => {
    expect(bytes).toContain('00 91 37 60 83 60 81 37 40');
  });
});

describe("the standard's example", () => {
  // Source: Standard MIDI Files 1.0, the example of format 0, 81 bytes, and its notes in absolute ticks of 96 a quarter.
  const example = Uint8Array.from(
    Buffer.from(
      '4D546864000000060000000100604D54726B0000003B00FF58040402180800FF510307A12000C00500C12E00C24600923060003C6060914340' +
        '60904C208140823040003C4000814340' +
        '00804C4000FF2F00',
      'hex',
    ),
  );
  test('its notes, meter and tempo are read', () => {
    expect(example).toHaveLength(81);
    const read = parseMidiFile(example);
    if (!read.ok) throw new Error('refused');
    const { division, meters, tempo, tracks } = read.value;
    expect([division, meters, tempo]).toEqual([96, [{ at: 0, name: '4/4' }], 500_000]);
    expect(
      tracks[0]?.notes.map(({ at, length, midi, channel }) => [at, length, midi, channel]),
    ).toEqual([
      [0, 384, 48, 2],
      [0, 384, 60, 2],
      [96, 288, 67, 1],
      [192, 192, 76, 0],
    ]);
  });
  test('one channel is taken as the melody, and that is said', () => {
    const read = readMidi(example);
    if (!read.ok) throw new Error('refused');
    expect(read.value.remarks.join(' ')).toMatch(/Of 3 tracks/);
    expect(read.value.melody.tempo).toBe(60);
  });
});
