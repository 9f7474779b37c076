import * as decoding from 'lib0/decoding';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { PlayLine } from '../../../../app/_islands/play/play-line';
import type { BoardId, ParticipantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import type { PlayState } from '../../../../shared/board/play-state';
import { playStateOf } from '../../../../shared/board/play-state';
import { readBoard } from '../../../../shared/board/read';
import type { Down } from '../../../../shared/wire/down';
import { parseUp, queryAwarenessFrame, readFrame, wordFrame } from '../../../../shared/wire/frame';
import { WIRE_VERSION } from '../../../../shared/wire/version';

const ME = { participant: 'abcdefghijkl' as ParticipantId, role: 'watch' } as const;
const BOARD = 'demo' as BoardId;
const demo = readBoard(BOARD, demoDocuments());
if (!demo) throw new Error('the demo board cannot be read');
const STOPPED = playStateOf(demo, ME.participant);
const GOING: PlayState = {
  ...STOPPED,
  transport: {
    kind: 'playing',
    legs: [{ kind: 'play', atMs: 10_000, pass: 1, visit: 0, tempo: 100 }],
    lastPass: 1,
  },
};

/** A socket of a browser whose other end is the test. */
class FakeSocket {
  static readonly OPEN = 1;
  static all: FakeSocket[] = [];
  readyState = 0;
  binaryType = '';
  sent: Uint8Array[] = [];
  onopen: () => void = () => undefined;
  onmessage: (event: { data: unknown }) => void = () => undefined;
  onclose: (event: { code: number }) => void = () => undefined;

  constructor(readonly address: string) {
    FakeSocket.all.push(this);
  }
  send(bytes: Uint8Array) {
    this.sent.push(bytes);
  }
  close() {
    this.readyState = 3;
  }
  opens() {
    this.readyState = FakeSocket.OPEN;
    this.onopen();
  }
  brings(bytes: Uint8Array) {
    this.onmessage({ data: bytes.slice().buffer });
  }
  says(...words: readonly Down[]) {
    for (const word of words) this.brings(wordFrame(word));
  }
  closes(code: number) {
    this.readyState = 3;
    this.onclose({ code });
  }
  /** Answers every question for the time that was asked. */
  answers() {
    for (const bytes of this.sent) {
      const frame = readFrame(bytes);
      const word = frame.kind === 'word' ? parseUp(frame.text) : undefined;
      if (word?.kind === 'ask-time') this.says({ kind: 'time', t1: word.t1, t2: 1, t3: 1 });
    }
    this.sent = this.sent.filter((bytes) => readFrame(bytes).kind !== 'word');
  }
  /** What was said of who is here: clock and state. */
  get presences() {
    return this.sent.flatMap((bytes) => {
      const frame = readFrame(bytes);
      if (frame.kind !== 'awareness') return [];
      const decoder = decoding.createDecoder(frame.bytes);
      const [count, client, clock] = [0, 0, 0].map(() => decoding.readVarUint(decoder));
      expect(count).toBe(1);
      return [{ client, clock, state: JSON.parse(decoding.readVarString(decoder)) as unknown }];
    });
  }
}

const WELCOME: Down = { kind: 'welcome', version: WIRE_VERSION, ...ME };
const page = Object.assign(new EventTarget(), { visibilityState: 'visible' });
let lines: PlayLine[] = [];

beforeEach(() => {
  vi.useFakeTimers({
    toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval', 'Date', 'performance'],
  });
  vi.stubGlobal('WebSocket', FakeSocket);
  vi.stubGlobal('document', page);
  vi.stubGlobal('window', new EventTarget());
  vi.stubGlobal('location', { protocol: 'https:', host: 'board.example' });
  vi.stubGlobal('PerformanceNavigationTiming', class {});
  FakeSocket.all = [];
  lines = [];
});
afterEach(() => {
  for (const line of lines) line.destroy();
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

function opened(): { readonly line: PlayLine; readonly socket: FakeSocket } {
  const line = new PlayLine(BOARD, ME, STOPPED, 0);
  lines.push(line);
  return { line, socket: last() };
}
function connected() {
  const it = opened();
  it.socket.opens();
  it.socket.says(WELCOME, { kind: 'play', state: STOPPED });
  it.socket.answers();
  return it;
}
function last(): FakeSocket {
  const socket = FakeSocket.all.at(-1);
  if (!socket) throw new Error('no socket was opened');
  return socket;
}
/** How long until another socket is opened, ms. */
function pause(): number {
  const before = FakeSocket.all.length;
  let ms = 0;
  while (FakeSocket.all.length === before && ms < 60_000) {
    vi.advanceTimersByTime(10);
    ms += 10;
  }
  return ms;
}

test('a line that never opens is told after a few tries, and forgotten once it is there', () => {
  const { line } = opened();
  for (let tries = 1; tries < 3; tries += 1) {
    last().closes(1006);
    expect(line.state().connection).toBe('connecting');
    pause();
  }
  last().closes(1006);
  expect(line.state().connection).toBe('unopened');
  pause();
  last().opens();
  expect(line.state().connection).toBe('connected');
  last().closes(1006);
  expect(line.state().connection).toBe('lost');
});

test('it asks for what is played and nothing else, and starts from what was rendered', () => {
  const { line, socket } = opened();
  expect(socket.address).toBe('wss://board.example/sync/demo?for=play');
  expect(line.state()).toMatchObject({ play: STOPPED, connection: 'connecting', gone: false });
  socket.opens();
  socket.says(WELCOME, { kind: 'play', state: GOING });
  expect(line.state()).toMatchObject({ play: GOING, connection: 'connected' });
  expect(line.state().notice).toBeUndefined();
  socket.answers();
  expect(line.state().inTime).toBe(true);
});

test('it says that it is here on each new line, when it is asked, and before others take it for gone: each time as news', () => {
  const { socket } = connected();
  expect(socket.presences).toMatchObject([{ state: { participant: ME.participant } }]);
  socket.brings(queryAwarenessFrame());
  vi.advanceTimersByTime(15_000);
  expect(socket.presences).toHaveLength(3);
  socket.closes(1006);
  pause();
  last().opens();
  const all = [...socket.presences, ...last().presences];
  expect(all.map(({ clock }) => clock)).toEqual([1, 2, 3, 4]);
  expect(new Set(all.map(({ client }) => client)).size).toBe(1);
});

test('a line that is lost is said to be, keeps what is played, and is tried again after pauses that grow and differ', () => {
  const { line, socket } = connected();
  socket.says({ kind: 'play', state: GOING }, { kind: 'keeping', late: true });
  expect(line.state().late).toBe(true);
  socket.closes(1006);
  expect(line.state()).toMatchObject({ play: GOING, connection: 'lost', late: false });
  const pauses: number[] = [];
  for (let tries = 0; tries < 12; tries += 1) {
    pauses.push(pause());
    last().closes(1006);
  }
  for (const [i, longest] of [400, 400, 800, 1600, 3200, 4000, 4000].entries()) {
    expect(pauses[i]).toBeLessThanOrEqual(longest + 10);
    expect(pauses[i]).toBeGreaterThanOrEqual(longest / 2);
  }
  expect(new Set(pauses.slice(5)).size).toBeGreaterThan(3);
  // A server that takes sockets and closes them at once has not let anybody in.
  pause();
  last().opens();
  last().closes(4500);
  expect(pause()).toBeGreaterThanOrEqual(2000);
  last().opens();
  last().says(WELCOME);
  expect(line.state().connection).toBe('connected');
  last().closes(1012);
  expect(pause()).toBeLessThanOrEqual(410);
});

test('a network that is back, or a look at the page, does not wait for the pause to end', () => {
  const { socket } = connected();
  socket.closes(1006);
  for (let tries = 0; tries < 6; tries += 1) {
    pause();
    last().closes(1006);
  }
  const before = FakeSocket.all.length;
  window.dispatchEvent(new Event('online'));
  expect(FakeSocket.all.length).toBe(before + 1);
  // While it is being opened there is nothing to hurry.
  document.dispatchEvent(new Event('visibilitychange'));
  expect(FakeSocket.all.length).toBe(before + 1);
});

test.each([
  ['while nothing is played, within half a minute', STOPPED, 31_000],
  ['while it is played, within some seconds', GOING, 11_000],
])('a line on which nothing comes any more is given up: %s', (_, state, within) => {
  const { line, socket } = connected();
  socket.says({ kind: 'play', state });
  for (let ms = 0; ms < 60_000; ms += 100) {
    vi.advanceTimersByTime(100);
    socket.answers();
  }
  expect(line.state().connection).toBe('connected');
  expect(FakeSocket.all).toHaveLength(1);
  vi.advanceTimersByTime(within);
  expect(line.state().connection).toBe('lost');
  expect(FakeSocket.all.length).toBeGreaterThan(1);
  // What the old one still brings is not heard.
  socket.says({ kind: 'keeping', late: true });
  expect(line.state().late).toBe(false);
});

test('a line that does not open is tried anew', () => {
  opened();
  expect(pause()).toBeGreaterThan(15_000);
  expect(FakeSocket.all[0]?.readyState).toBe(3);
});

test('who is taken out is told so, and the page tries no more', () => {
  const { line, socket } = connected();
  socket.says({ kind: 'refused', code: 'removed', words: 'You are no longer on this board.' });
  socket.closes(4403);
  expect(line.state()).toMatchObject({
    gone: true,
    connection: 'lost',
    notice: 'You are no longer on this board.',
  });
  window.dispatchEvent(new Event('online'));
  vi.advanceTimersByTime(120_000);
  expect(FakeSocket.all).toHaveLength(1);
  line.putNoticeAway();
  expect(line.state().notice).toBeUndefined();
  expect(line.state().gone).toBe(true);
});

test('a server of another version is said', () => {
  const { line, socket } = connected();
  socket.says({ ...WELCOME, version: WIRE_VERSION + 1 } as Down);
  expect(line.state().notice).toBe('The board was renewed. Load the page again to go on.');
});

test('what is no message of ours changes nothing', () => {
  const { line, socket } = connected();
  const before = line.state();
  for (const bytes of [[], [101, 5, 1], [0, 2, 1, 0], [99]]) socket.brings(new Uint8Array(bytes));
  socket.onmessage({ data: 'text' });
  expect(line.state()).toBe(before);
});

test('a page that is left tries no more and asks for nothing', () => {
  const { line, socket } = connected();
  line.destroy();
  expect(socket.readyState).toBe(3);
  const { length } = socket.sent;
  vi.advanceTimersByTime(60_000);
  expect(FakeSocket.all).toHaveLength(1);
  expect(socket.sent).toHaveLength(length);
});
