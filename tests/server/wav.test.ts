import { describe, expect, onTestFinished, test } from 'vitest';
import { renderSound, soundFrames } from '../../lib/sound/render';
import { wavSamples } from '../../lib/sound/wav';
import { isBoardId } from '../../server/links';
import { MAX_TRACKS, scoreRequest, WavDesk } from '../../server/wav';
import { wavWishFrom } from '../../shared/api/export-wav';
import type { Board } from '../../shared/board/schema';
import { startTestServer } from '../kit/server';

async function demo(): Promise<Board> {
  const server = await startTestServer();
  const { id } = await server.create();
  const board = await server.host.readBoard(id);
  if (!board) throw new Error('no demo board');
  return board;
}

const query = (text: string) => new URLSearchParams(text);

async function bytesOf(body: ReadableStream<Uint8Array>): Promise<Buffer> {
  return Buffer.from(await new Response(body).arrayBuffer());
}

function opened(desk: WavDesk, board: Board, text: string) {
  const answer = desk.track(board, query(text));
  if (!answer.ok) throw new Error(answer.words);
  return answer;
}

function refusal(desk: WavDesk, board: Board, text: string) {
  const answer = desk.track(board, query(text));
  if (answer.ok) throw new Error('it was not refused');
  return answer;
}

// Offsets and tags. Source: Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0 (from memory).
test('a track is a WAV file of one channel, 44,100 Hz and 16 bits, as long as it says', async () => {
  const { body } = opened(new WavDesk(), await demo(), 'pass=plain&part=A&tempo=120');
  const file = await bytesOf(body);
  const bytes = file.length;
  expect(file.toString('latin1', 0, 4)).toBe('RIFF');
  expect(file.readUInt32LE(4)).toBe(bytes - 8);
  expect(file.toString('latin1', 8, 16)).toBe('WAVEfmt ');
  expect([20, 22, 34].map((at) => file.readUInt16LE(at))).toEqual([1, 1, 16]);
  expect(file.readUInt32LE(24)).toBe(44_100);
  expect(file.readUInt32LE(40)).toBe(bytes - 44);
  // Eight measures of two beats at 120 a minute are 8 s; 2.2 s ring on.
  expect((bytes - 44) / 2 / 44_100).toBeCloseTo(8 + 2.2, 3);
});

test('a track holds the samples that the music itself renders', async () => {
  const board = await demo();
  const text = 'pass=plain&from=m2&to=m3&tempo=90&count=count&click=1&swing=60';
  const file = await bytesOf(opened(new WavDesk(), board, text).body);
  const parsed = wavWishFrom(query(text));
  const request = 'wish' in parsed ? scoreRequest(board, parsed.wish) : undefined;
  if (!request) throw new Error('no score');
  expect(request.measures).toHaveLength(2);
  const samples = renderSound(request, { sampleRate: 44_100, channels: 1 });
  expect(file.subarray(44).equals(Buffer.from(wavSamples(samples, 'pcm16')))).toBe(true);
  const loud = samples.filter((sample) => Math.abs(sample) > 0.05).length;
  expect(loud).toBeGreaterThan(1000);
});

test.each([
  ['slower', 'pass=plain', 'pass=plain&tempo=30'],
  ['with a count', 'pass=plain', 'pass=plain&count=count'],
  ['with potatoes', 'pass=plain', 'pass=plain&count=potatoes'],
  ['twice', 'pass=plain', 'pass=plain&times=2'],
  ['whole', 'pass=plain&part=A', 'pass=plain'],
])('a track is longer %s', async (_, short, long) => {
  const board = await demo();
  const frames = (text: string) => {
    const parsed = wavWishFrom(query(text));
    const request = 'wish' in parsed ? scoreRequest(board, parsed.wish) : undefined;
    return request ? soundFrames(request, 44_100) : 0;
  };
  expect(frames(short)).toBeGreaterThan(44_100);
  expect(frames(long)).toBeGreaterThan(frames(short) + 44_100);
});

test('a variant alone is one measure', async () => {
  const board = await demo();
  const variant = board.variants[0];
  const { body } = opened(new WavDesk(), board, `variant=${variant?.id}&tempo=120`);
  expect(((await bytesOf(body)).length - 44) / 2 / 44_100).toBeCloseTo(1 + 2.2, 3);
});

describe('is refused in words', () => {
  test.each([
    ['tempo=fast', 400, '"tempo" takes beats a minute, 20 to 240.'],
    ['tempo=1000', 400, '"tempo" takes beats a minute, 20 to 240.'],
    ['tempo=0', 400, '"tempo" takes'],
    ['pass=none', 400, '"pass" takes'],
    ['pass=0', 400, '"pass" takes'],
    ['pass=2.5', 400, '"pass" takes'],
    ['count=three', 400, '"count" takes'],
    ['swing=90', 400, '"swing" takes'],
    ['times=100', 400, '"times" takes'],
    ['part=Z', 404, 'no such pass, part, measure or variant'],
    ['from=m99', 404, 'no such pass, part, measure or variant'],
    ['variant=x', 404, 'no such pass, part, measure or variant'],
    ['pass=19', 404, 'no such pass, part, measure or variant'],
    ['pass=plain&tempo=20&times=20', 400, 'a track can have 20 minutes at most'],
  ])('%s', async (text, status, words) => {
    const answer = refusal(new WavDesk(), await demo(), text);
    expect(answer.status).toBe(status);
    expect(answer.words).toContain(words);
  });
});

describe('only so many at a time', () => {
  const full = async (patience?: number) => {
    const board = await demo();
    const desk = new WavDesk(patience);
    const tracks = Array.from({ length: MAX_TRACKS }, () => opened(desk, board, 'part=A'));
    const answer = refusal(desk, board, 'part=A');
    expect(answer).toMatchObject({ status: 503, retryAfterSeconds: 5 });
    return { board, desk, tracks };
  };

  test('a track that was read gives its place back', async () => {
    const { board, desk, tracks } = await full();
    await bytesOf(tracks[0]?.body ?? new ReadableStream());
    opened(desk, board, 'part=A');
    refusal(desk, board, 'part=A');
  });

  test('a reader who goes away gives the place back, once', async () => {
    const { board, desk, tracks } = await full();
    const reader = tracks[0]?.body.getReader();
    await reader?.read();
    await reader?.cancel();
    opened(desk, board, 'part=A');
    refusal(desk, board, 'part=A');
  });

  test('a reader who takes nothing loses the place', async () => {
    const { board, desk, tracks } = await full(20);
    await expect(tracks[0]?.body.getReader().closed).rejects.toThrow('nobody took the track');
    opened(desk, board, 'part=A');
  });

  test('a refused wish takes no place', async () => {
    const board = await demo();
    const desk = new WavDesk();
    for (let i = 0; i < 5; i += 1) refusal(desk, board, 'tempo=fast');
    opened(desk, board, 'part=A');
  });
});

test('there is no track of a board that is not there', async () => {
  const server = await startTestServer();
  const nowhere = 'abcdefghijkl';
  if (!isBoardId(nowhere)) throw new Error('no board id');
  expect(await server.host.exportWav(nowhere, query(''))).toBeUndefined();
});

test('other work goes on while a track is rendered', async () => {
  const board = await demo();
  const { body } = opened(new WavDesk(), board, 'pass=plain');
  let turns = 0;
  const timer = setInterval(() => {
    turns += 1;
  }, 1);
  onTestFinished(() => clearInterval(timer));
  await bytesOf(body);
  expect(turns).toBeGreaterThan(20);
});
