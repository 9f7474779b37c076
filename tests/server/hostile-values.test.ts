import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type * as Y from 'yjs';
import { readXml } from '../../lib/formats/musicxml/xml';
import type { ParticipantId } from '../../lib/units';
import { LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import { LEAD, SAID } from '../../shared/board/schema';
import { writeName, writeProposal } from '../../shared/board/write';
import type { Links } from '../kit/demo-visit';
import { agreedBoard } from '../kit/demo-visit';
import { Peer } from '../kit/peers';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

/** Values that no page writes, by people who speak the raw protocol: on everybody's pages and in every file they harm nobody. */
let program: Program;
beforeAll(async () => {
  program = await startProgram();
}, 60_000);
afterAll(async () => {
  await program.end();
});

async function visit(path: string) {
  const opened = await fetch(program.url + path, { redirect: 'manual' });
  return { cookie: opened.headers.get('set-cookie')?.split(';')[0] ?? '' };
}

async function peerOn(board: Links, path: string): Promise<Peer> {
  const port = Number(new URL(program.url).port);
  const peer = await Peer.open({ port }, { id: board.board as never }, await visit(path));
  await peer.fetch(LEAD_DOCUMENT);
  return peer;
}

const meOf = (peer: Peer): ParticipantId => {
  const [me] = peer.words.flatMap((word) => (word.kind === 'welcome' ? [word.participant] : []));
  if (!me) throw new Error('nobody welcomed us');
  return me as ParticipantId;
};

/** Markup that does something where it is not escaped, and lines that forge a field. */
const MARKUP = '</title></script><script>alert(1)</script>"\'><img src=x onerror=alert(2)>';
const LINES = 'a\r\nX: 2\nT:forged\n%%forged\nContent-Type: x';
const UNSEEN = 'nul\0 esc\x1b nel\x85 turned\u202E half\ud83e end\uffff';
const TEXTS = [
  MARKUP,
  LINES,
  UNSEEN,
  '🪕'.repeat(60),
  '\u0301'.repeat(120),
  'W'.repeat(120),
  ']]>--><![CDATA[&#0;&lt;',
];

const PAGES = [
  '',
  '/play',
  '/play?pass=all',
  '/play/book',
  '/practice',
  '/sheet',
  '/passes',
  '/people',
];
const FILES = [
  'abc',
  'musicxml',
  'musicxml?pass=plain',
  'midi',
  'json',
  'json?holds=music',
  'wav?pass=plain&part=A&tempo=240',
];

function checkFile(file: string, bytes: Buffer): void {
  const text = bytes.toString('utf8');
  if (file.startsWith('musicxml')) {
    const read = readXml(text);
    expect(read.ok ? '' : JSON.stringify(read.problems)).toBe('');
    // Source: XML 1.0, production 2 (Char).
    expect(text).not.toMatch(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/u);
  } else if (file.startsWith('json')) expect(() => JSON.parse(text)).not.toThrow();
  else if (file === 'midi') expect(parseMidi(bytes).header.ticksPerBeat).toBe(480);
  else if (file === 'abc') {
    expect(text.match(/^[XTK]:/gm)).toEqual(['X:', 'T:', 'K:']);
    expect(text).not.toMatch(/^%%/m);
  }
}

/** Everybody's pages and files. */
async function checkAll(board: Links, what: string): Promise<void> {
  const cookies = await Promise.all(Object.values(board.links).map(visit));
  for (const { cookie } of cookies)
    for (const page of PAGES) {
      const answer = await fetch(`${program.url}/b/${board.board}${page}`, { headers: { cookie } });
      const text = await answer.text();
      const isMarkup = answer.headers.get('content-type')?.startsWith('text/html');
      expect(answer.status, `${what}: ${page}`).toBe(200);
      if (isMarkup)
        expect(text, `${what}: ${page}`).not.toMatch(
          /<script>alert|<img src=x|This board needs a link|cannot be shown/,
        );
    }
  const [{ cookie } = { cookie: '' }] = cookies;
  for (const file of FILES) {
    const answer = await fetch(`${program.url}/api/boards/${board.board}/export/${file}`, {
      headers: { cookie },
    });
    const bytes = Buffer.from(await answer.arrayBuffer());
    expect([200, 400, 404], `${what}: ${file}`).toContain(answer.status);
    if (answer.status === 200) {
      expect(answer.headers.get('content-disposition')).toMatch(
        /^attachment; filename="[a-z0-9.-]+"$/,
      );
      checkFile(file, bytes);
    } else expect(JSON.parse(bytes.toString()).error.message.length).toBeGreaterThan(10);
  }
}

const map = (root: string) => (key: string, value: unknown) => (doc: Y.Doc) =>
  void doc.getMap(root).set(key, value);
const [head, measure, choice, transport, exercise] = [
  LEAD.head,
  LEAD.measures,
  LEAD.choice,
  LEAD.transport,
  LEAD.exercise,
].map(map) as [
  ReturnType<typeof map>,
  ReturnType<typeof map>,
  ReturnType<typeof map>,
  ReturnType<typeof map>,
  ReturnType<typeof map>,
];
const strike = { at: 0, length: 1920, by: 'strike', notes: [{ string: 1, fret: 0 }] };
const plain = { part: 'A', place: 0, startsAt: 0, ticks: 1920, strokes: [strike], melody: [0] };
const leg = { kind: 'play', atMs: Date.now(), pass: 1, visit: 0, tempo: 80 };
const playing = (more: object) => ({ kind: 'playing', legs: [{ ...leg, ...more }], lastPass: 20 });

const LEADS: readonly (readonly [string, (doc: Y.Doc) => void])[] = [
  ...TEXTS.map(
    (text) => [`title ${JSON.stringify(text).slice(0, 30)}`, head('title', text)] as const,
  ),
  ...['tempo', 'meter', 'tuning', 'form', 'key', 'capo'].map(
    (field) => [`head ${field}`, head(field, '__proto__')] as const,
  ),
  ['head __proto__', head('__proto__', { title: 'x' })],
  ...TEXTS.map(
    (text) =>
      [
        `chord ${JSON.stringify(text.slice(0, 16))}`,
        measure('m1', {
          ...plain,
          chord: text.slice(0, 16),
          chords: [{ at: 960, symbol: text.slice(-16) }],
        }),
      ] as const,
  ),
  ...['constructor', '__proto__', 'toString', 'hasOwnProperty'].map(
    (name) => [`measure ${name}`, measure(name, plain)] as const,
  ),
  ['a measure beyond its meter', measure('m1', { ...plain, startsAt: 1920, ticks: 1920 })],
  ['a measure of one tick', measure('m1', { ...plain, ticks: 1 })],
  [
    'strokes beyond it',
    measure('m1', { ...plain, strokes: [{ ...strike, at: 7680, length: 7680 }], melody: [1920] }),
  ],
  [
    'strokes over one another',
    measure('m1', { ...plain, strokes: Array.from({ length: 48 }, () => strike) }),
  ],
  ['no strokes', measure('m1', { ...plain, strokes: [], melody: [] })],
  [
    'strokes between slots',
    measure('m1', { ...plain, strokes: [{ ...strike, at: 7, length: 13 }], melody: [7, 7, 7] }),
  ],
  ['places without end', measure('m1', { ...plain, place: 1e308 })],
  ['a place that is none', measure('m1', { ...plain, place: Number.NaN })],
  ['endings in disorder', measure('m1', { ...plain, endings: [32, 1, 1, 7] })],
  [
    'a thousand measures',
    (doc) =>
      doc.transact(() => {
        for (let n = 0; n < 1000; n += 1) measure(`n${n}`, { ...plain, place: n })(doc);
      }),
  ],
  [
    'no measures',
    (doc) =>
      doc.transact(() => {
        for (const key of [...doc.getMap(LEAD.measures).keys()])
          doc.getMap(LEAD.measures).delete(key);
      }),
  ],
  [
    'all in one part of 26',
    (doc) =>
      doc.transact(() => {
        for (let n = 0; n < 26; n += 1)
          measure(`n${n}`, { ...plain, part: String.fromCharCode(65 + n) })(doc);
        head(
          'form',
          Array.from({ length: 32 }, () => 'Z'),
        )(doc);
      }),
  ],
  [
    'a plan of nothing',
    choice('plan', {
      passes: Array.from({ length: 20 }, () => ({
        nowhere: 'aaaaaaaaaaaa.0000000000000000',
        m1: 'aaaaaaaaaaaa.0000000000000000',
      })),
      variants: {},
    }),
  ],
  [
    'a plan of inherited names',
    choice('plan', {
      passes: [{ constructor: 'plain', toString: 'plain', __proto__: 'plain' }, {}],
      variants: {},
    }),
  ],
  ...TEXTS.map(
    (text) =>
      [
        `a plan by ${JSON.stringify(text).slice(0, 20)}`,
        choice('plan', {
          passes: [{ m1: 'aaaaaaaaaaaa.0000000000000000' }, {}],
          variants: {
            'aaaaaaaaaaaa.0000000000000000': {
              measure: 'm1',
              strokes: [strike],
              by: text.slice(0, 40),
            },
          },
        }),
      ] as const,
  ),
  [
    'a plan of strokes that do not fit',
    choice('plan', {
      passes: [{ m1: 'aaaaaaaaaaaa.0000000000000000' }, {}],
      variants: {
        'aaaaaaaaaaaa.0000000000000000': {
          measure: 'm9',
          strokes: [{ ...strike, at: 7000, length: 7680 }, strike],
          by: 'x',
        },
      },
    }),
  ],
  [
    'choices of inherited names',
    (doc) => {
      for (const name of [
        'over/constructor',
        'over/__proto__',
        'lock/1/toString',
        'lock/99/m1',
        'plain/x',
        'hidden/__proto__',
        'shut/constructor',
        'called/constructor',
        'same/x',
        'aside/toString',
      ])
        choice(name, 'plain')(doc);
    },
  ],
  ['far in the future', transport('now', playing({ atMs: 1e308, repeats: true }))],
  ['far in the past', transport('now', playing({ atMs: -1e308, repeats: true }))],
  ['the last date', transport('now', playing({ atMs: 8.64e15 }))],
  [
    'the first date, round and round',
    transport('now', playing({ atMs: -8.64e15, repeats: true, ramp: { step: 0.5, to: 240 } })),
  ],
  ['a visit that is not there', transport('now', playing({ visit: 2047, pass: 20 }))],
  ['played that is not there', transport('now', { ...playing({}), played: '0123456789abcdef' })],
  [
    'an exercise without end',
    exercise('now', { family: 'slide', from: 'm1', to: 'm9', atMs: 8.64e15, minutes: 60 }),
  ],
  [
    'an exercise nowhere',
    exercise('now', { family: 'constructor', from: 'x', to: 'y', atMs: 1e308, minutes: 1e308 }),
  ],
  [
    'a pointer at nothing',
    transport('pointer', { measure: 'toString', variant: 'aaaaaaaaaaaa.0000000000000000' }),
  ],
];

describe('what a leader writes', () => {
  test.each(LEADS)('%s', async (what, change) => {
    const board = await agreedBoard(program);
    const leader = await peerOn(board, board.links.lead);
    leader.edit(LEAD_DOCUMENT, change);
    await leader.fetch(LEAD_DOCUMENT);
    expect(leader.refusals).toEqual([]);
    await checkAll(board, what);
    await leader.leave();
  });
});

const SAYS: readonly (readonly [string, (doc: Y.Doc, me: ParticipantId) => void])[] = [
  ...TEXTS.map(
    (text) =>
      [
        `a name ${JSON.stringify(text).slice(0, 30)}`,
        (doc: Y.Doc) => writeName(doc, text),
      ] as const,
  ),
  ...TEXTS.map(
    (text) =>
      [
        `a note ${JSON.stringify(text).slice(0, 30)}`,
        (doc: Y.Doc, me: ParticipantId) =>
          void writeProposal(doc, me, {
            measure: 'm1' as never,
            strokes: [strike] as never,
            note: text,
          }),
      ] as const,
  ),
  ...[
    [],
    [{ ...strike, at: 7680, length: 7680 }],
    Array.from({ length: 48 }, (_, n) => ({ ...strike, at: 160 * n, length: 1 })),
    [{ ...strike, notes: [1, 2, 3, 4, 5].map((string) => ({ string, fret: 24 })) }],
    ['hammer', 'pull', 'slide', 'pluck', 'chop', 'brush', 'thumb'].map((by, n) => ({
      ...strike,
      at: 7 * n,
      length: 3,
      by,
    })),
  ].map(
    (strokes) =>
      [
        `strokes ${JSON.stringify(strokes).slice(0, 40)}`,
        (doc: Y.Doc, me: ParticipantId) =>
          void writeProposal(doc, me, {
            measure: 'm1' as never,
            strokes: strokes as never,
            note: '',
          }),
      ] as const,
  ),
  [
    'claims and maps of inherited names',
    (doc) => {
      for (const root of [SAID.me, SAID.proposals, SAID.claims])
        for (const key of ['constructor', '__proto__', 'toString', 'name'])
          doc.getMap(root).set(key, { toString: 1 });
    },
  ],
];

describe('what a student writes', () => {
  // All on one board, one after the other: what one leaves stands beside what the next one brings.
  let board: Links;
  beforeAll(async () => {
    board = await agreedBoard(program);
  });
  test.each(SAYS)('%s', async (what, change) => {
    const student = await peerOn(board, board.links.join);
    const me = meOf(student);
    student.edit(saidBy(me), (doc) => change(doc, me));
    await student.fetch(LEAD_DOCUMENT);
    expect(student.refusals).toEqual([]);
    await checkAll(board, what);
    await student.leave();
  });
});
