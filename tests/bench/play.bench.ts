import { gzipSync } from 'node:zlib';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import type { ParticipantId } from '../../lib/units';
import { LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { parseDown, readFrame, syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import { demoBoard } from '../kit/demo-visit';
import { startProgram } from '../kit/program';
import type { Measure } from './run';

export const name =
  'The play page of 32 measures, 20 a second, while 50 sockets edit (the pages must be built)';

/** Median time to the page's last byte, ms. Source: the limit that the play page was set. */
const LIMIT = 15;
/** Our own script, kB compressed. Source: the limit that the play page was set. */
const OWN_LIMIT = 40;
const SOCKETS = 50;
const REQUESTS = 200;
const EVERY_MS = 50;
const WARM_UP = 40;
/** An edit every second from each socket. */
const EDIT_MS = 1000;

const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));

/** Opens a link and gives back the cookie that it sets. */
async function cookieOf(address: string): Promise<string> {
  const answer = await fetch(address, { redirect: 'manual' });
  const cookie = answer.headers.get('set-cookie')?.split(';')[0];
  if (!cookie) throw new Error(`no cookie at ${address}`);
  return cookie;
}

/** Somebody who is on the board and changes a document of their own every second; ended by the function that comes back. */
async function editor(url: string, board: string, join: string): Promise<() => void> {
  const cookie = await cookieOf(url + join);
  const socket = new WebSocket(`${url.replace('http', 'ws')}/sync/${board}`, {
    headers: { cookie },
  });
  socket.binaryType = 'nodebuffer';
  const me = await new Promise<ParticipantId>((known, failed) => {
    socket.on('error', failed);
    socket.on('message', (data: Buffer) => {
      const frame = readFrame(new Uint8Array(data));
      const word = frame.kind === 'word' ? parseDown(frame.text) : undefined;
      if (word?.kind === 'welcome') known(word.participant);
    });
  });
  const said = new Y.Doc();
  said.on('update', (update: Uint8Array) =>
    socket.send(syncFrame(saidBy(me), SYNC.update, update)),
  );
  socket.send(syncFrame(LEAD_DOCUMENT, SYNC.step1, Y.encodeStateVector(new Y.Doc())));
  let edits = 0;
  const timer = setInterval(() => {
    edits += 1;
    writeName(said, `player ${edits}`);
  }, EDIT_MS);
  return () => {
    clearInterval(timer);
    socket.close();
  };
}

/** Compressed scripts of a page, by address, in bytes. */
async function scriptsOf(url: string, path: string, cookie: string) {
  const page = await (await fetch(url + path, { headers: { cookie } })).text();
  const found = new Set(page.match(/\/_next\/static\/chunks\/[^"\\]+\.js/g));
  const sizes = new Map<string, number>();
  for (const address of found) {
    const script = await (await fetch(url + address)).text();
    sizes.set(address, gzipSync(script).length);
  }
  return sizes;
}

/** kB of script, compressed: what the framework ships on any page, and what the play page has beside it before anything is pressed. */
async function scriptSizes(url: string, path: string, cookie: string) {
  const framework = await scriptsOf(url, '/there/is/no/such/page', cookie);
  const all = await scriptsOf(url, path, cookie);
  const sum = (sizes: readonly number[]) => sizes.reduce((total, size) => total + size, 0) / 1000;
  return {
    framework: sum([...framework.values()]),
    own: sum([...all].filter(([address]) => !framework.has(address)).map(([, size]) => size)),
  };
}

/** Time to the last byte of a page, and its length. */
async function pageOf(address: string, cookie: string) {
  const start = performance.now();
  const answer = await fetch(address, { headers: { cookie } });
  const text = await answer.text();
  const ms = performance.now() - start;
  if (answer.status !== 200 || !text.includes('data-visit="31"'))
    throw new Error(`no play page at ${address}: ${answer.status}`);
  return { ms, bytes: text.length };
}

export async function run(): Promise<readonly Measure[]> {
  const program = await startProgram();
  try {
    const { board, links } = await demoBoard(program);
    const cookie = await cookieOf(program.url + links.watch);
    const address = `${program.url}/b/${board}/play`;
    for (let i = 0; i < WARM_UP; i += 1) await pageOf(address, cookie);
    const editors = [];
    for (let i = 0; i < SOCKETS; i += 1) editors.push(await editor(program.url, board, links.join));
    const asked: Promise<{ readonly ms: number; readonly bytes: number }>[] = [];
    for (let i = 0; i < REQUESTS; i += 1) {
      asked.push(pageOf(address, cookie));
      await pause(EVERY_MS);
    }
    const answers = await Promise.all(asked);
    for (const end of editors) end();
    const times = answers.map(({ ms }) => ms).sort((a, b) => a - b);
    const { framework, own } = await scriptSizes(program.url, `/b/${board}/play`, cookie);
    const at = (part: number) => times[Math.floor(part * times.length)] ?? Number.NaN;
    return [
      { what: 'median', value: at(0.5), unit: 'ms', against: { what: 'limit', value: LIMIT } },
      { what: '95 of 100', value: at(0.95), unit: 'ms' },
      { what: 'HTML', value: (answers[0]?.bytes ?? 0) / 1000, unit: 'kB' },
      { what: 'the framework’s script', value: framework, unit: 'kB' },
      {
        what: 'our own script',
        value: own,
        unit: 'kB',
        against: { what: 'limit', value: OWN_LIMIT },
      },
    ];
  } finally {
    await program.end();
  }
}
