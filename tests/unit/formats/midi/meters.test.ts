import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { bigEndian, chunk, meta } from '../../../../lib/formats/midi/bytes';
import { readMidi } from '../../../../lib/formats/midi/read';
import { noteEvents, trackBytes } from '../../../../lib/formats/midi/track';

import { toMidi } from '../../../../lib/formats/midi/write';
import { restructured } from '../../../../lib/structure/change';
import { tuneOf } from '../../../../lib/structure/layout';
import type { MeasureId } from '../../../../lib/units';
import { editedTune, layoutOf } from '../../../kit/layouts';

/** A file of quarters, all on G, from one quarter to another, with meters from quarters on: "0 4/4, 4 3/4". */
function file(meters: string, from: number, to: number): Uint8Array {
  const changes = meters.split(', ').map((one) => {
    const [at = '0', name = ''] = one.split(' ');
    const [beats = 4, unit = 4] = name.split('/').map(Number);
    const bytes = meta(0x58, [beats, Math.log2(unit), 24, 8]);
    return { at: Number(at) * 480, order: 1 as const, bytes };
  });
  const notes = Array.from({ length: to - from }, (_, i) => ({
    at: (from + i) * 480,
    length: 480,
    midi: 67,
    velocity: 90,
  }));
  const track = trackBytes([...changes, ...noteEvents(notes, 0)], to * 480);
  return Uint8Array.from([...chunk('MThd', [0, 0, 0, 1, ...bigEndian(480, 2)]), ...track]);
}

/** The meter, the measures in quarters (a pickup with a <), and what is said of meters. */
function outline(meters: string, from: number, to: number): string {
  const read = readMidi(file(meters, from, to));
  if (!read.ok) return read.problems.map(({ words }) => words).join(' ');
  const { melody, remarks } = read.value;
  const lengths = melody.parts.flatMap(({ measures }) =>
    measures.map(({ startsAt, ticks }) => `${startsAt > 0 ? '<' : ''}${ticks / 480}`),
  );
  const said = remarks.filter((remark) => remark.startsWith('The meter'));
  return [`${melody.meter.name}: ${lengths.join(' ')}`, ...said].join(' ');
}

// Source: Standard MIDI Files 1.0, time signature: it holds until the next one. What a board makes of it: as for ABC and MusicXML.
describe('bars of another length in a MIDI file', () => {
  test.each([
    ['none', '0 4/4', 0, 12, '4/4: 4 4 4'],
    ['one in the middle', '0 4/4, 4 3/4, 7 4/4', 0, 11, '4/4: 4 3 4'],
    ['several', '0 4/4, 4 2/4, 10 4/4', 0, 14, '4/4: 4 2 2 2 4'],
    ['the last', '0 4/4, 8 1/4, 9 4/4', 0, 9, '4/4: 4 4 1'],
    ['the first', '0 1/4, 1 4/4', 0, 9, '4/4: 1 4 4'],
    ['a meter that comes inside a bar ends it', '0 4/4, 2 3/4, 5 4/4', 0, 9, '4/4: 2 3 4'],
    ['a pickup', '0 4/4', 3, 12, '4/4: <1 4 4'],
    ['bars of rest before the first note', '0 4/4, 8 3/4, 11 4/4', 100_000, 100_007, '4/4: 4 4'],
  ])('%s', (_, meters, from, to, expected) => {
    expect(outline(meters, from, to)).toBe(expected);
  });

  const barred = 'The meter changes inside the file; all of it was barred as 4/4.';
  test.each([
    ['a meter that does not come back', '0 4/4, 4 3/4', `4/4: 4 4 4 ${barred}`],
    ['a longer bar', '0 4/4, 4 6/4, 10 4/4', `4/4: 4 4 4 ${barred}`],
    ['another meter of the same length', '0 4/4, 4 2/2, 8 4/4', `4/4: 4 4 4 ${barred}`],
  ])('%s: all is barred as the first', (_, meters, expected) => {
    expect(outline(meters, 0, 12)).toBe(expected);
  });

  test('a meter that the board does not know is refused', () => {
    expect(outline('0 7/4, 7 4/4, 11 7/4', 0, 18)).toBe(
      'The file is in 7/4, which is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.',
    );
  });
});

test('an independent reader finds the meters of a tune that a leader made crooked, each time it is played', () => {
  const tune = editedTune(0);
  const made = restructured(layoutOf(tune), {
    kind: 'length',
    measure: 'm2' as MeasureId,
    ticks: 1440,
  });
  if (!made.ok) throw new Error(made.problems[0]?.words);
  const [head] = parseMidi(toMidi({ tune: { ...tune, ...tuneOf(made.value.layout) } })).tracks;
  let at = 0;
  const found = (head ?? []).flatMap((event) => {
    at += event.deltaTime;
    if (event.type !== 'timeSignature') return [];
    return [`${at} ${event.numerator}/${event.denominator}`];
  });
  expect(found).toEqual(['0 4/4', '1920 3/4', '3360 4/4', '9120 3/4', '10560 4/4']);
});
