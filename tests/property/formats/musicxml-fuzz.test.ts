import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { readMusicXml } from '../../../lib/formats/musicxml/read';
import { checkMelody, checkProblems, checkTune } from './sound-results';

/** How many files are mutated; `FUZZ_RUNS=10000` for all of what is promised. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 1500);

const FILES = ['minimal', 'two-staves'].map((name) =>
  readFileSync(new URL(`../../data/musicxml/banjo-tab-${name}.musicxml`, import.meta.url), 'utf8'),
);

const PIECES = [
  ...'<>/&;"= \n0129-.',
  '</note>',
  '<note>',
  '<chord/>',
  '<grace/>',
  '<rest/>',
  '<duration>0</duration>',
  '<duration>99999</duration>',
  '<duration>1.3</duration>',
  '<backup><duration>3</duration></backup>',
  '<forward><duration>1</duration></forward>',
  '<time><beats>3</beats><beat-type>4</beat-type></time>',
  '<divisions>7</divisions>',
  '<measure/>',
  '<barline location="right"><repeat direction="backward" times="9"/></barline>',
  '<barline location="left"><ending number="1-9" type="start"/></barline>',
  '<string>5</string><fret>25</fret>',
  '<transpose><chromatic>200</chromatic></transpose>',
  '<alter>40</alter>',
  '<!--',
  ']]>',
  '\u0000',
  '\uD800',
];

/** Cuts, puts and swaps anywhere in a file. */
const slips = fc
  .tuple(
    fc.constantFrom(...FILES),
    fc.array(
      fc.record({ at: fc.nat(11_000), out: fc.nat(6), put: fc.constantFrom('', '', ...PIECES) }),
      { minLength: 1, maxLength: 3 },
    ),
  )
  .map(([file, edits]) =>
    edits.reduce((text, { at, out, put }) => text.slice(0, at) + put + text.slice(at + out), file),
  );

/** Whole elements taken out, doubled or put elsewhere, and numbers changed: still XML, mostly. */
const surgery = fc
  .tuple(
    fc.constantFrom(...FILES),
    fc.array(
      fc.record({
        pick: fc.nat(500),
        act: fc.constantFrom('out', 'twice', 'number', 'swap'),
        put: fc.constantFrom(
          '',
          ...PIECES.filter((piece) => piece.startsWith('<') && piece.length > 4),
        ),
        number: fc.constantFrom(-1, 0, 1, 2, 3, 5, 7, 1000, 16_384, 1e9),
      }),
      { minLength: 1, maxLength: 4 },
    ),
  )
  .map(([file, edits]) =>
    edits.reduce((text, { pick, act, put, number }) => {
      const elements = [...text.matchAll(/<([a-z-]+)\b[^<>/]*>[^<>]*<\/\1>/g)];
      const match = elements[pick % Math.max(1, elements.length)];
      if (!match) return text;
      const [own] = match;
      const changed = own.replace(/>\d+</, `>${number}<`);
      const instead = { out: '', twice: own + own, number: changed, swap: put }[act];
      return text.slice(0, match.index) + instead + text.slice(match.index + own.length);
    }, file),
  );

function check(source: string | Uint8Array): 'read' | 'refused' {
  const read = readMusicXml(source);
  if (!read.ok) {
    checkProblems(read.problems);
    for (const { where } of read.problems) expect(where.line >= 1 && where.column >= 1).toBe(true);
    return 'refused';
  }
  if (read.value.kind === 'tab') checkTune(read.value.tune);
  else checkMelody(read.value.melody);
  for (const remark of read.value.remarks) expect(remark).toMatch(/\.$/);
  return 'read';
}

describe('a mutated score is read or refused in words, never thrown at', () => {
  test.each([
    ['slips of the pen', slips, 10],
    ['elements out of place', surgery, 10],
  ] as const)('%s', (_, files, least) => {
    const counts = { read: 0, refused: 0 };
    fc.assert(
      fc.property(files, (text) => {
        counts[check(text)] += 1;
      }),
      { seed: 1, numRuns: Math.ceil(RUNS / 2) },
    );
    expect(Math.min(counts.read, counts.refused)).toBeGreaterThan(least);
  });

  test('bytes of a compressed file', () => {
    const container = '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>';
    const zip = zipSync({
      'META-INF/container.xml': strToU8(container),
      'a.xml': strToU8(FILES[0] ?? ''),
    });
    const edits = fc.array(fc.tuple(fc.nat(zip.length - 1), fc.nat(255)), {
      minLength: 1,
      maxLength: 5,
    });
    fc.assert(
      fc.property(edits, fc.nat(zip.length), (list, end) => {
        const bytes = zip.slice(0, Math.max(4, end + zip.length / 2));
        for (const [at, byte] of list) if (at > 1) bytes[at] = byte;
        check(bytes);
      }),
      { seed: 1, numRuns: Math.ceil(RUNS / 3) },
    );
  });
});
