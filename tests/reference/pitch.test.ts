import { Note } from 'tonal';
import { describe, expect, test } from 'vitest';
import { hzFromMidi, pitchClassFromName, pitchName } from '../../lib/pitch';

// Source: 12-tone equal temperament, f = 440 * 2^((m - 69) / 12), A4 = 440 Hz (ISO 16:1975); values to three decimals.
const TABLE: readonly (readonly [string, number, number])[] = [
  ['C3', 48, 130.813],
  ['D3', 50, 146.832],
  ['E3', 52, 164.814],
  ['F#3', 54, 184.997],
  ['G3', 55, 195.998],
  ['A3', 57, 220],
  ['B3', 59, 246.942],
  ['C4', 60, 261.626],
  ['D4', 62, 293.665],
  ['E4', 64, 329.628],
  ['F#4', 66, 369.994],
  ['G4', 67, 391.995],
  ['A4', 69, 440],
  ['D5', 74, 587.33],
];

describe('pitches against equal temperament', () => {
  test.each(TABLE)('%s is MIDI %i at %f Hz', (name, midi, hz) => {
    expect(pitchName(midi)).toBe(name);
    expect(hzFromMidi(midi)).toBeCloseTo(hz, 3);
  });

  // An independent library of the registry (tonal 6.4.3).
  test('every MIDI note has the name and frequency that tonal gives it', () => {
    for (let midi = 0; midi < 128; midi += 1) {
      expect(Note.midi(pitchName(midi))).toBe(midi);
      expect(Note.midi(pitchName(midi, true))).toBe(midi);
      expect(hzFromMidi(midi)).toBeCloseTo(Note.freq(pitchName(midi)) ?? 0, 6);
    }
  });

  test('names of pitch classes with sharps and flats', () => {
    for (const name of ['C', 'F#', 'Bb', 'Ebb', 'G##', 'Cb', 'B#'])
      expect(pitchClassFromName(name)).toBe(Note.chroma(name));
    for (const name of ['', 'H', 'F#b', 'c', 'A###'])
      expect(pitchClassFromName(name)).toBeUndefined();
  });
});
