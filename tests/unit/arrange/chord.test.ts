import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { chordMovedBy, chordTones } from '../../../lib/arrange/chord';

const SYMBOLS = [
  'G',
  'D7',
  'Am',
  'Em7',
  'Cmaj7',
  'F#dim',
  'Bm7b5',
  'Caug',
  'Dsus4',
  'Dsus2',
  'G6',
  'Am6',
  'Bb',
  'E5',
];

describe('the tones of a chord symbol', () => {
  // Source: tonal 6.4.3, Chord.get.
  it.each(SYMBOLS)('%s', (symbol) => {
    const published = Chord.get(symbol).notes.map((name) => Note.chroma(name));
    expect(published.length).toBeGreaterThan(0);
    expect(chordTones(symbol)).toEqual(published);
  });
  it('a bass after a slash is left out, and what is not known is major', () => {
    expect(chordTones('C/E')).toEqual([0, 4, 7]);
    expect(chordTones('C?')).toEqual([0, 4, 7]);
  });
  it.each([
    ['Gm9', 'Gm'],
    ['Dsus4add9', 'Dsus4'],
    ['C(add9)', 'C'],
    ['A7#9', 'A7'],
    ['Bb7alt/F', 'Bb7'],
  ])('%s, which is not known, sounds what is known of it: %s', (symbol, known) => {
    expect(chordTones(symbol)).toEqual(chordTones(known));
  });
  it('what names no root has no tones', () => {
    expect(chordTones('N.C.')).toBeUndefined();
  });
});

describe('a chord symbol moved to another key', () => {
  it.each([
    ['G', -7, 'C'],
    ['D7', 5, 'G7'],
    ['Am/E', 2, 'Bm/F#'],
    ['Bb', -12, 'Bb'],
    ['N.C.', 3, 'N.C.'],
  ])('%s by %i is %s', (symbol, by, expected) => {
    expect(chordMovedBy(symbol, by)).toBe(expected);
  });
});
