import { describe, expect, test } from 'vitest';
import { readMusicXml } from '../../../../lib/formats/musicxml/read';

const time = (text: string) => {
  const [beats, type] = text.split('/');
  return `<attributes><time><beats>${beats}</beats><beat-type>${type}</beat-type></time></attributes>`;
};
const note = (quarters: number) =>
  `<note><pitch><step>G</step><octave>4</octave></pitch><duration>${quarters}</duration></note>`;

/** A score of measures in quarters: "4/4 4 | 3/4 3 | 4/4 4". Each measure stands on a line of its own from line 5 on. */
function score(text: string): string {
  const measures = text.split(' | ').map((measure, i) => {
    const inside = measure
      .split(' ')
      .map((one) => (one.includes('/') ? time(one) : note(Number(one))));
    return `<measure number="${i + 1}">${inside.join('')}</measure>`;
  });
  return [
    '<score-partwise version="4.0">',
    '<part-list><score-part id="P1"><part-name>Fiddle</part-name></score-part></part-list>',
    '<part id="P1">',
    '<measure number="0"><attributes><divisions>1</divisions><key><fifths>1</fifths><mode>major</mode></key></attributes></measure>',
    ...measures,
    '</part></score-partwise>',
  ]
    .join('\n')
    .replace('</attributes></measure>\n<measure number="1">', '</attributes>\n');
}

/** The tune's meter and the measures as lengths in quarters; or what is wrong, with its line. */
function outline(text: string): string {
  const read = readMusicXml(score(text));
  if (!read.ok)
    return read.problems
      .map(({ code, where, words }) => `${code} ${where.line} ${words}`)
      .join(' ');
  if (read.value.kind !== 'melody') throw new Error('read as tab');
  const { meter, parts } = read.value.melody;
  const lengths = parts.flatMap(({ measures }) =>
    measures.map(({ startsAt, ticks }) => `${startsAt > 0 ? '<' : ''}${ticks / 480}`),
  );
  return `${meter.name}: ${lengths.join(' ')}`;
}

// Source: MusicXML 4.0, time (a measure may bring a new one). That the tune's meter comes back after it: as for ABC.
describe('measures of another length bring a time of their own', () => {
  test.each([
    ['one in the middle', '4/4 4 | 3/4 3 | 4/4 4', '4/4: 4 3 4'],
    ['several', '4/4 4 | 2/4 2 | 2 | 3/4 3 | 4/4 4', '4/4: 4 2 2 3 4'],
    ['the last one, and the time comes back at its end', '4/4 4 | 3/4 3 4/4', '4/4: 4 3'],
    ['the first one', '3/4 3 | 4/4 4 | 4', '4/4: 3 4 4'],
    ['a first time that no tune is in', '1/4 1 | 4/4 4 | 4', '4/4: 1 4 4'],
    ['a plain pickup', '4/4 1 | 4 | 4', '4/4: <1 4 4'],
  ])('%s', (_, text, expected) => {
    expect(outline(text)).toBe(expected);
  });

  test.each([
    [
      'a measure that is shorter than its time',
      '4/4 4 | 3/4 2 | 4/4 4',
      'measure-short 6 Measure 2 is 2 eighths too short for 3/4. Make a note longer or add a rest.',
    ],
    [
      'a measure that is longer than its time',
      '4/4 4 | 2/4 3 | 4/4 4',
      'measure-long 6 Measure 2 is 2 eighths too long for 2/4. Shorten a note or set a bar line.',
    ],
    [
      'a time that does not come back',
      '4/4 4 | 3/4 3 | 3',
      'meter-change 6 The meter changes to 3/4. A board keeps one meter from start to end: 4/4 here.',
    ],
    [
      'a longer measure',
      '4/4 4 | 6/4 6 | 4/4 4',
      "meter-change 6 The meter changes to 6/4. A measure is no longer than the tune's meter, 4/4 here: write this bar as two.",
    ],
    [
      'a tune in a meter that the board does not know',
      '7/4 7 | 4/4 4 | 7/4 7',
      'unknown-meter 5 "7/4" is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8. unknown-meter 7 "7/4" is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.',
    ],
    [
      'another time of the same length',
      '4/4 4 | 2/2 4 | 4/4 4',
      'meter-change 6 The meter changes to 2/2. A board keeps one meter from start to end: 4/4 here.',
    ],
  ])('refused: %s', (_, text, expected) => {
    expect(outline(text)).toBe(expected);
  });
});
