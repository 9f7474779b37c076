/** A tune that everybody knows, set by this project in plain form for a first workshop. */
export interface ShelfTune {
  readonly id: string;
  readonly title: string;
  /** What is known of where it comes from, in a sentence, and whether that was looked up or is from memory. */
  readonly origin: string;
  readonly abc: string;
}

function abc(title: string, head: string, body: string): string {
  return `X:1\nT:${title}\n${head}\n${body.trim()}\n`;
}

/**
 * The shelf: only melodies that could be written down with certainty, all from before 1900 and free to use. They were written twice, here
 * as ABC and in tests/reference/shelf.test.ts as sung degrees, and must agree.
 */
export const SHELF: readonly ShelfTune[] = [
  {
    id: 'cabbage',
    title: 'Boil Them Cabbage Down',
    origin: 'Traditional in the American South, 19th century (from memory).',
    abc: abc(
      'Boil Them Cabbage Down',
      'M:2/2\nL:1/4\nK:G',
      `
|: "G"B B B B | "C"c c c c | "G"B B B B | "D"A A A2 |
"G"B B B B | "C"c c c c | "G"B B "D"A A | "G"G2 G2 :|`,
    ),
  },
  {
    id: 'lou',
    title: 'Skip to My Lou',
    origin: 'A play-party song of the American frontier, 19th century (from memory).',
    abc: abc(
      'Skip to My Lou',
      'M:2/4\nL:1/8\nK:G',
      `
|: "G"B2 G2 | B B/B/ d2 | "D"A2 F2 | A A/A/ c2 |
"G"B2 G2 | B B/B/ d2 | "D"A B/c/ B A | "G"G2 G2 :|`,
    ),
  },
  {
    id: 'susanna',
    title: 'Oh! Susanna',
    origin: 'Stephen Foster, 1848 (from memory).',
    abc: abc(
      'Oh! Susanna',
      'M:2/2\nL:1/8\nK:G',
      `
|: GA | "G"B2 d2 d3 e | d2 B2 G3 A | B2 B2 A2 G2 | "D"A6 GA |
"G"B2 d2 d3 e | d2 B2 G3 A | B2 B2 "D"A2 A2 | "G"G6 :|
|: "C"c4 c4 | e2 e4 e2 | "G"d2 d2 B2 G2 | "D"A6 GA |
"G"B2 d2 d3 e | d2 B2 G3 A | B2 B2 "D"A2 A2 | "G"G8 :|`,
    ),
  },
  {
    id: 'doodle',
    title: 'Yankee Doodle',
    origin: 'Sung in America since the 1750s; older in England (from memory).',
    abc: abc(
      'Yankee Doodle',
      // In C: in G it goes a third below the lowest string or up to the tenth fret.
      'M:2/4\nL:1/8\nK:C',
      `
|: "C"C C D E | C E "G"D G, | "C"C C D E | C2 "G"B,2 |
"C"C C D E | "F"F E D C | "G"B, G, A, B, | "C"C2 C2 :|
|: "F"A,>B, A, G, | A, B, C2 | "C"G,>A, G, F, | E,2 G,2 |
"F"A,>B, A, G, | A, B, C A, | "G"G, C B, D | "C"C2 C2 :|`,
    ),
  },
  {
    id: 'weasel',
    title: 'Pop Goes the Weasel',
    origin: 'An English country dance, in print by 1853 (from memory).',
    abc: abc(
      'Pop Goes the Weasel',
      'M:6/8\nL:1/8\nK:G',
      `
|: "G"G2 G "D"A2 A | "G"BdB G3 | G2 G "D"A2 A | "G"B3 G3 |
"G"G2 G "D"A2 A | "G"BdB G3 | "C"e3 "D"A2 c | "G"B3 G3 :|`,
    ),
  },
  {
    id: 'rhody',
    title: 'Go Tell Aunt Rhody',
    origin: 'American folk song on a melody from an opera of Rousseau, 1752 (from memory).',
    abc: abc(
      'Go Tell Aunt Rhody',
      'M:2/4\nL:1/8\nK:G',
      `
|: "G"B2 B A | G2 G2 | "D"A2 A c | "G"B A G2 |
"G"d2 d c | B2 B2 | "D"A G A B | "G"G4 :|`,
    ),
  },
  {
    id: 'mountain',
    title: "She'll Be Coming Round the Mountain",
    origin: 'A railroad song of the 1890s on the melody of a spiritual (from memory).',
    abc: abc(
      "She'll Be Coming Round the Mountain",
      // In C for the same reason.
      'M:2/2\nL:1/4\nK:C',
      `
|: G, A, | "C"C C C C | A, G, E, G, | C4- | C2 C D |
"C"E E E E | G E D C | "G"D4- | D2 G F |
"C"E E E E | D C C C | "F"A, A, A, A, | D C B, A, |
"C"G, G, G, G, | "G"E E D B, | "C"C4- | C2 :|`,
    ),
  },
  {
    id: 'bells',
    title: 'Jingle Bells (chorus)',
    origin: 'James Pierpont, 1857 (from memory).',
    abc: abc(
      'Jingle Bells (chorus)',
      'M:2/2\nL:1/8\nK:G',
      `
|: "G"B2 B2 B4 | B2 B2 B4 | B2 d2 G3 A | B8 |
"C"c2 c2 c3 c | "G"c2 B2 B2 B2 | "A"B2 A2 A2 B2 | "D"A4 d4 |
"G"B2 B2 B4 | B2 B2 B4 | B2 d2 G3 A | B8 |
"C"c2 c2 c3 c | "G"c2 B2 B2 B2 | "D"d2 d2 c2 A2 | "G"G8 :|`,
    ),
  },
  {
    id: 'clementine',
    title: 'Clementine',
    origin: "A miners' ballad, in print by 1884 (from memory).",
    abc: abc(
      'Clementine',
      'M:3/4\nL:1/8\nK:G',
      `
|: GG | "G"G2 D2 BB | B2 G2 GB | d2 d2 cB | "D"A4 AB |
c2 c2 BA | "G"B2 G2 GB | "D"A2 D2 FA | "G"G4 :|`,
    ),
  },
  {
    id: 'syne',
    title: 'Auld Lang Syne (verse)',
    origin: 'A Scottish song, with this melody in print by 1799 (from memory).',
    abc: abc(
      'Auld Lang Syne (verse)',
      'M:2/2\nL:1/8\nK:G',
      `
|: D2 | "G"G3 G G2 B2 | "D"A3 G A2 B2 | "G"G3 G B2 d2 | "C"e6 e2 |
"G"d3 B B2 G2 | "D"A3 G A2 B2 | "C"G3 E "D"E2 D2 | "G"G6 :|`,
    ),
  },
  {
    id: 'bridge',
    title: 'London Bridge',
    origin:
      'An English singing game, older than its melody, which was in print by 1879 (from memory).',
    abc: abc(
      'London Bridge',
      'M:2/4\nL:1/8\nK:G',
      `
|: "G"d>e d c | B c d2 | "D"A B c2 | "G"B c d2 |
d>e d c | B c d2 | "D"A2 d2 | "G"B G3 :|`,
    ),
  },
  {
    id: 'farmer',
    title: 'The Farmer in the Dell',
    origin: 'A singing game that came to America from Germany in the 19th century (from memory).',
    abc: abc(
      'The Farmer in the Dell',
      'M:6/8\nL:1/8\nK:G',
      `
|: D | "G"G2 G G2 G | G3- G2 A | B2 B B2 B | B6 |
d3 d2 e | d2 B G2 A | B2 B "D"A2 A | "G"G3- G2 :|`,
    ),
  },
  {
    id: 'boat',
    title: 'Row, Row, Row Your Boat',
    origin: 'An American round, with this melody in print by 1881 (from memory).',
    abc: abc(
      'Row, Row, Row Your Boat',
      'M:6/8\nL:1/8\nK:G',
      `
|: "G"G3 G3 | G2 A B3 | B2 A B2 c | d6 |
ggg ddd | BBB GGG | "D"d2 c B2 A | "G"G6 :|`,
    ),
  },
];
