import { describe, expect, it } from 'vitest';
import { MAX_ABC, readAbc } from '../../../../lib/formats/abc/read';

const head = 'X:1\nT:Try\nM:4/4\nL:1/8\nK:G\n';

function problems(text: string): readonly string[] {
  const result = readAbc(text);
  if (result.ok) return ['none'];
  return result.problems.map(
    ({ code, where, words }) => `${code} ${where.line}:${where.column} ${words}`,
  );
}

describe('bad ABC is refused with line, column and a reason', () => {
  const cases: readonly (readonly [string, string, readonly string[]])[] = [
    [
      'empty',
      '',
      [
        'no-tune 1:1 There is no ABC tune in this text. It begins with lines like X:1, T:a title, M:4/4 and K:G.',
      ],
    ],
    [
      'prose',
      'Dear all,\nhere is the tune.\n',
      [
        'no-tune 1:1 There is no ABC tune in this text. It begins with lines like X:1, T:a title, M:4/4 and K:G.',
      ],
    ],
    [
      'no key',
      'X:1\nT:Try\nM:4/4\n',
      [
        'no-key 3:3 The tune names no key. Add a line K:G (or another key) as the last line before the notes.',
      ],
    ],
    [
      'no meter',
      'X:1\nK:G\nG8|\n',
      [
        'no-meter 1:3 The tune names no meter. Add a line M:4/4 before K:. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.',
      ],
    ],
    [
      'a meter of nine',
      'X:1\nM:9/8\nK:G\nG8|\n',
      [
        'unknown-meter 2:3 "9/8" is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.',
      ],
    ],
    [
      'a key that is none',
      'X:1\nM:4/4\nK:H\nG8|\n',
      ['bad-key 3:3 "H" names no key. Write K:G or K:Ador.'],
    ],
    ['no notes', head, ['no-notes 5:3 The tune has no notes. Write them on the lines after K:.']],
    [
      'only rests',
      `${head}z8|\n`,
      ['no-notes 5:3 The tune has no notes. Write them on the lines after K:.'],
    ],
    [
      'a bar too short',
      `${head}G8|G4 B2|G8|\n`,
      [
        'measure-short 6:4 Measure 2 is 2 eighths too short for 4/4. Make a note longer or add a rest.',
      ],
    ],
    [
      'a bar too long',
      `${head}G8|\nG4 B4 d|G8|\n`,
      [
        'measure-long 7:1 Measure 2 is 1 eighth too long for 4/4. Shorten a note or set a bar line.',
      ],
    ],
    [
      'a letter too many',
      `${head}G4 B2 q2|\n`,
      [
        'unknown-sign 6:7 "q2" means nothing in ABC music. Take it out, or put words between quotation marks.',
      ],
    ],
    [
      'a quotation mark too few',
      `${head}G4 "D7B4|\n`,
      ['not-closed 6:4 The quotation mark is never closed. Put a second " after the chord symbol.'],
    ],
    [
      'an open chord',
      `${head}G4 [GB|\n`,
      ['not-closed 6:4 The chord is never closed. Put a ] after its last note.'],
    ],
    [
      'a chord of rubbish',
      `${head}G4 [G?]4|\n`,
      ['unknown-sign 6:4 The chord [G?]4 cannot be read. Write notes between [ and ].'],
    ],
    [
      'an open grace',
      `${head}G4 {gB4|\n`,
      ['not-closed 6:4 The grace notes are never closed. Put a } after them.'],
    ],
    [
      'a length of zero',
      `${head}G4 B0 B4|\n`,
      ['bad-length 6:4 This note has no readable length. Write it as A2, A/2 or A3/2.'],
    ],
    [
      'a note too short',
      `${head}L:1/64\nG/64|\n`,
      [
        'note-too-short 7:1 This note is too short to play. The shortest is a tick, 1/480 of a quarter.',
      ],
    ],
    [
      'broken rhythm at the bar',
      `${head}G7 G>|G8|\n`,
      ['broken-rhythm 6:5 This broken rhythm has no note after it. Put both notes in one measure.'],
    ],
    [
      'broken rhythm before any note',
      `${head}>G8|\n`,
      ['broken-rhythm 6:1 ">" has to stand between two notes.'],
    ],
    [
      'an unfinished tuplet',
      `${head}G6 (3GA|\n`,
      ['tuplet 6:4 This tuplet lacks 1 note before the tune ends or another begins.'],
    ],
    [
      'a tuplet of nothing',
      `${head}(3:0:3 G8|\n`,
      ['tuplet 6:1 (3:0:3 is no tuplet. Write (3 before three notes.'],
    ],
    [
      'another meter inside',
      `${head}G8|\nM:3/4\nG6|\n`,
      [
        'meter-change 7:3 The meter changes to 3/4. A board keeps one meter from start to end: 4/4 here.',
      ],
    ],
    [
      'a bad unit length',
      `${head}G8|[L:1/7]G8|\n`,
      ['bad-unit 6:4 "1/7" is no unit length. Write L:1/8.'],
    ],
    [
      'a bad unit length in the header',
      'X:1\nM:4/4\nL:2/3\nK:G\nG8|\n',
      ['bad-unit 3:3 "2/3" is no unit length. Write L:1/8.'],
    ],
    [
      'a bad key inside',
      `${head}G8|[K:Q]G8|\n`,
      ['bad-key 6:4 "Q" names no key. Write K:G or K:Ador.'],
    ],
    [
      'a bad order of parts',
      'X:1\nM:4/4\nP:A(B\nK:G\nG8|\n',
      ['bad-order 3:3 "A(B" is no order of parts. Write P:AABB or P:(AB)2.'],
    ],
    [
      'a lone colon',
      `${head}G4 : G4|\n`,
      ['unknown-sign 6:4 A single ":" is no bar line. Write |: or :| for a repeat.'],
    ],
    [
      'a long text',
      'x'.repeat(MAX_ABC + 1),
      ['too-long 1:1 The text has 1000001 characters. Take a shorter one, at most 1000000.'],
    ],
    [
      'too many measures',
      `${head}G8|Z999|\n`,
      ['too-many-measures 6:4 The tune has more than 500 measures. Paste a shorter one.'],
    ],
    [
      'Windows line ends',
      `${head}G8|G7|G8|\n`.replaceAll('\n', '\r\n'),
      [
        'measure-short 6:4 Measure 2 is 1 eighth too short for 4/4. Make a note longer or add a rest.',
      ],
    ],
    [
      'a tune after prose',
      `Hello\n\n${head}G8|G7|G8|\n`,
      [
        'measure-short 8:4 Measure 2 is 1 eighth too short for 4/4. Make a note longer or add a rest.',
      ],
    ],
  ];
  it.each(cases)('%s', (_name, text, expected) => {
    expect(problems(text)).toEqual(expected);
  });
});
