import { strToU8, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { readMusicXml } from '../../../../lib/formats/musicxml/read';

/** A score with one part; each line of music stands on a line of its own from line 6 on. */
function score(...music: readonly string[]): string {
  return [
    '<?xml version="1.0"?>',
    '<score-partwise version="4.0">',
    '<part-list><score-part id="P1"><part-name>Fiddle</part-name></score-part></part-list>',
    '<part id="P1">',
    '<measure number="1">',
    ...music,
    '</measure></part></score-partwise>',
  ].join('\n');
}

const HEAD =
  '<attributes><divisions>1</divisions><key><fifths>1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>';
const note = (step: string, duration: number | string, more = '') =>
  `<note><pitch><step>${step}</step><octave>4</octave></pitch><duration>${duration}</duration>${more}</note>`;

function problemIn(source: string | Uint8Array) {
  const read = readMusicXml(source);
  if (read.ok) throw new Error('it was read');
  return read.problems[0];
}

describe('what is wrong is told with its line, column and element', () => {
  test.each<readonly [string, string, object, RegExp]>([
    ['no XML at all', 'X:1', { line: 1 }, /cannot be read/],
    ['nothing', '', { line: 1 }, /cannot be read|no XML/],
    [
      'a broken end',
      score(HEAD, note('G', 4)).slice(0, -30),
      { line: 8, element: 'measure' },
      /unclosed tag/,
    ],
    ['tags that cross', score('<note><pitch></note></pitch>'), { line: 6 }, /cannot be read/],
    ['an entity of its own', score('&file;'), { line: 6, element: 'measure' }, /undefined entity/],
    ['another kind of XML', '<svg/>', { line: 1, element: 'svg' }, /begins with <svg>/],
    ['a score without parts', '<score-partwise/>', { element: 'score-partwise' }, /no part/],
    [
      'no meter',
      score('<attributes><divisions>1</divisions></attributes>', note('G', 4)),
      { line: 5, element: 'measure' },
      /no meter/,
    ],
    [
      'another meter',
      score(HEAD.replace('<beats>4', '<beats>7'), note('G', 4)),
      { line: 6, element: 'time' },
      /"7\/4"/,
    ],
    [
      'a second meter',
      score(
        HEAD,
        note('G', 4),
        '</measure><measure><attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>',
      ),
      { line: 8, element: 'time' },
      /changes to 3\/4/,
    ],
    [
      'no divisions',
      score(HEAD.replace('<divisions>1</divisions>', ''), note('G', 4)),
      { line: 7, column: 1, element: 'note' },
      /<divisions> is missing/,
    ],
    [
      'no duration',
      score(HEAD, note('G', '')),
      { line: 7, element: 'note' },
      /no readable duration/,
    ],
    ['a duration in words', score(HEAD, note('G', 'long')), { line: 7, element: 'note' }, /"long"/],
    [
      'a way back before the start',
      score(HEAD, '<backup><duration>9</duration></backup>'),
      { line: 7, element: 'backup' },
      /leaves its measure/,
    ],
    [
      'a measure that is too short',
      score(HEAD, note('G', 3)),
      { line: 5, element: 'measure' },
      /2 eighths too short/,
    ],
    [
      'a measure that is too long',
      score(HEAD, note('G', 5)),
      { line: 5, element: 'measure' },
      /2 eighths too long/,
    ],
    [
      'no notes',
      score(HEAD, '<note><rest/><duration>4</duration></note>'),
      { element: 'measure' },
      /no notes/,
    ],
  ])('%s', (_, xml, where, words) => {
    const problem = problemIn(xml);
    expect(problem?.where).toMatchObject(where);
    expect(problem?.words).toMatch(words);
  });

  test('elements that nest too deep', () => {
    const deep = `${'<a>'.repeat(100)}${'</a>'.repeat(100)}`;
    expect(problemIn(deep)).toMatchObject({ code: 'too-deep', where: { column: 121 } });
  });
  test('too many elements', () => {
    expect(problemIn(`<a>${'<b/>'.repeat(400_001)}</a>`)?.code).toBe('too-many-elements');
  });
  test('a part that is not there, with those that are', () => {
    const read = readMusicXml(score(HEAD, note('G', 4)), { part: 'Flute' });
    expect(read.ok ? '' : read.problems[0]?.words).toBe(
      'No part is called "Flute". There are "Fiddle".',
    );
  });
});

describe('document types and entities', () => {
  const bomb = `<!DOCTYPE score-partwise [<!ENTITY a "${'ha'.repeat(50)}"><!ENTITY b "&a;&a;&a;">]>`;
  test('a document type is skipped', () => {
    const named = score(HEAD, note('G', 4)).replace(
      '?>',
      '?>\n<!DOCTYPE score-partwise SYSTEM "file:///etc/passwd">',
    );
    expect(readMusicXml(named).ok).toBe(true);
  });
  test('its entities stand for nothing', () => {
    const used = score(HEAD, note('G', 4)).replace('?>', `?>${bomb}`).replace('Fiddle', '&b;');
    expect(problemIn(used)?.words).toMatch(/undefined entity/);
  });
});

describe('compressed files', () => {
  const good = score(HEAD, note('G', 4));
  const container = (path: string) =>
    strToU8(`<container><rootfiles><rootfile full-path="${path}"/></rootfiles></container>`);
  test.each<readonly [string, Uint8Array, RegExp]>([
    ['a zip of something else', zipSync({ 'a.txt': strToU8('hello') }), /no score/],
    [
      'a container that names what is not there',
      zipSync({ 'META-INF/container.xml': container('b.xml'), 'a.xml': strToU8(good) }),
      /no score/,
    ],
    [
      'a zip that breaks off',
      zipSync({ 'META-INF/container.xml': container('a.xml'), 'a.xml': strToU8(good) }).slice(
        0,
        120,
      ),
      /no score|damaged/,
    ],
    [
      'a zip that unpacks to more than is read',
      zipSync({
        'META-INF/container.xml': container('a.xml'),
        'a.xml': new Uint8Array(30_000_000),
      }),
      /more than/,
    ],
    ['bytes that are no text', Uint8Array.from([0xff, 0xfe, 0x00, 0xd8]), /neither text/],
    ['an image', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0xff]), /neither text/],
  ])('%s is refused in words', (_, bytes, words) => {
    expect(problemIn(bytes)?.words).toMatch(words);
  });
  test('UTF-16 with its mark is read', () => {
    const bytes = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(good, 'utf16le')]);
    expect(readMusicXml(bytes)).toEqual(readMusicXml(good));
  });
});
