import { describe, expect, onTestFinished, test, vi } from 'vitest';
import { DEFAULT_MIX } from '../../lib/sound/banjo';
import { renderSound } from '../../lib/sound/render';
import type { Track } from '../../lib/sound/round';
import { wavSamples } from '../../lib/sound/wav';
import { isBoardId } from '../../server/links';
import type { WavPatience } from '../../server/wav';
import { WavDesk, wavMix, wavRounds, wavTrack } from '../../server/wav';
import type { WavWish } from '../../shared/api/export-wav';
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

function wishOf(text: string): WavWish {
  const parsed = wavWishFrom(query(text));
  if ('problem' in parsed) throw new Error(parsed.problem);
  return parsed.wish;
}

function trackOf(board: Board, text: string): Track {
  const made = wavTrack(board, wishOf(text));
  if ('tooLong' in made) throw new Error('too long');
  return made.track;
}

const secondsOf = (board: Board, text: string) => trackOf(board, text).seconds;

async function bytesOf(body: ReadableStream<Uint8Array>): Promise<Buffer> {
  return Buffer.from(await new Response(body).arrayBuffer());
}

function opened(desk: WavDesk, board: Board, text: string, who = 'Alder') {
  const answer = desk.track(board, query(text), who);
  if (!answer.ok) throw new Error(answer.words);
  return answer;
}

function refusal(desk: WavDesk, board: Board, text: string, who = 'Alder') {
  const answer = desk.track(board, query(text), who);
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
  const rounds = [...wavRounds(board, wishOf(text))];
  expect(rounds.map(({ passage }) => passage.map(({ plain }) => plain.id))).toEqual([['m2', 'm3']]);
  const [round] = rounds;
  if (!round) throw new Error('no round');
  const samples = renderSound(round.request, { sampleRate: 44_100, channels: 1 });
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
  expect(secondsOf(board, short)).toBeGreaterThan(1);
  expect(secondsOf(board, long)).toBeGreaterThan(secondsOf(board, short) + 1);
});

test('a variant alone is one measure', async () => {
  const board = await demo();
  const variant = board.variants[0];
  const { body } = opened(new WavDesk(), board, `variant=${variant?.id}&tempo=120`);
  expect(((await bytesOf(body)).length - 44) / 2 / 44_100).toBeCloseTo(1 + 2.2, 3);
});

describe('what is set on the practice page is on the track', () => {
  test('the plain measure and then the variant', async () => {
    const board = await demo();
    const text = `variant=${board.variants[0]?.id}&tempo=120`;
    expect(secondsOf(board, `${text}&after=plain`)).toBe(2 * secondsOf(board, text));
    const [round] = wavRounds(board, wishOf(`${text}&after=plain`));
    expect(round?.passage.map(({ changed }) => changed)).toEqual([false, true]);
  });

  test('only what changes', async () => {
    const read = await demo();
    const [variant] = read.variants;
    if (!variant) throw new Error('the demo has no variant');
    const { measure, strokes, id } = variant;
    const passes = [{}, { [measure]: id }];
    const board = {
      ...read,
      plan: { passes, variants: { [id]: { measure, strokes, by: 'Wren' } } },
    };
    const heard = [...wavRounds(board, wishOf('pass=all&only=changes'))];
    expect(heard.flatMap(({ passage }) => passage.map(({ chosen }) => chosen))).toContain(id);
    expect(heard.flatMap(({ passage }) => passage.map(({ chosen }) => chosen))).not.toContain(
      'plain',
    );
    expect(refusal(new WavDesk(), board, 'pass=1&only=changes').status).toBe(404);
  });

  test('faster step by step: so many rounds at each tempo, to the goal', async () => {
    // A measure of two beats lasts 120 / tempo seconds. Source: the definition of beats a minute.
    const text = 'from=m2&tempo=100&goal=118&step=10&rounds=2';
    const wanted = [100, 100, 110, 110, 118, 118];
    const board = await demo();
    expect([...wavRounds(board, wishOf(text))].map(({ request }) => request.tempo)).toEqual(wanted);
    const seconds = wanted.reduce((sum, tempo) => sum + 120 / tempo, 0);
    expect(secondsOf(board, text)).toBeCloseTo(seconds, 6);
  });

  test('every second round is silent but for its clicks', async () => {
    const board = await demo();
    const text = 'from=m2&tempo=60&alone=1';
    const heard = (extra: string) => {
      const { body } = opened(new WavDesk(), board, text + extra);
      return bytesOf(body).then((file) => new Int16Array(new Uint8Array(file.subarray(44)).buffer));
    };
    // One measure of 2 s is heard; the hand on the strings takes a moment, then there is nothing.
    const loudest = (samples: Int16Array, from: number, to: number) =>
      samples
        .subarray(44_100 * from, 44_100 * to)
        .reduce((most, s) => Math.max(most, Math.abs(s)), 0);
    const silent = await heard('');
    expect(loudest(silent, 0, 2)).toBeGreaterThan(3000);
    expect(loudest(silent, 2.5, 4)).toBeLessThan(30);
    expect(loudest(await heard('&click=1'), 2.5, 4)).toBeGreaterThan(1000);
  });

  test.each([
    ['melody=0', { melody: 0, drone: 1 }],
    ['drone=0', { melody: 1, drone: 0 }],
    ['', { melody: 1, drone: 1 }],
  ])('which strings are heard: %s', async (extra, strings) => {
    const board = await demo();
    const text = `from=m2&tempo=120&${extra}`;
    const mix = { ...DEFAULT_MIX, ...strings };
    expect(wavMix(wishOf(text))).toEqual(mix);
    const file = await bytesOf(opened(new WavDesk(), board, text).body);
    const samples = renderSound(trackOf(board, text), { sampleRate: 44_100, channels: 1, mix });
    expect(file.subarray(44).equals(Buffer.from(wavSamples(samples, 'pcm16')))).toBe(true);
  });

  test('a first click that does not stand out', async () => {
    const board = await demo();
    const accents = (text: string) =>
      trackOf(board, text).events.filter((event) => event.kind === 'click' && event.accent).length;
    expect(accents('from=m2&click=1')).toBe(1);
    expect(accents('from=m2&click=1&accent=0')).toBe(0);
  });
});

describe('is refused in words', () => {
  test.each([
    ['tempo=fast', 400, '"tempo" takes beats a minute, 7 to 240.'],
    ['tempo=1000', 400, '"tempo" takes beats a minute, 7 to 240.'],
    ['tempo=0', 400, '"tempo" takes'],
    ['pass=none', 400, '"pass" takes'],
    ['pass=0', 400, '"pass" takes'],
    ['pass=2.5', 400, '"pass" takes'],
    ['count=three', 400, '"count" takes'],
    ['swing=90', 400, '"swing" takes'],
    ['times=100', 400, '"times" takes'],
    ['goal=0', 400, '"goal" takes'],
    ['melody=2', 400, '"melody" takes'],
    ['only=plain', 400, '"only" takes'],
    ['after=all', 400, '"after" takes'],
    ['goal=240&tempo=7&step=1&rounds=20&alone=1', 400, 'more than 20 minutes'],
    ['pass=plain&only=nothing', 400, '"only" takes'],
    ['part=Z', 404, 'no such pass, part, measure or variant'],
    ['from=m99', 404, 'no such pass, part, measure or variant'],
    ['variant=x', 404, 'no such pass, part, measure or variant'],
    ['pass=19', 404, 'no such pass, part, measure or variant'],
    ['pass=plain&tempo=20&times=20', 400, 'more than 20 minutes, which is the most'],
  ])('%s', async (text, status, words) => {
    const answer = refusal(new WavDesk(), await demo(), text);
    expect(answer.status).toBe(status);
    expect(answer.words).toContain(words);
  });
});

describe('only so many at a time', () => {
  const PEOPLE = ['Alder', 'Birch', 'Cedar', 'Dogwood'];
  const full = async (patience?: WavPatience) => {
    const board = await demo();
    const desk = new WavDesk(patience);
    const tracks = PEOPLE.map((who) => opened(desk, board, 'part=A', who));
    expect(refusal(desk, board, 'part=A', 'Elm')).toMatchObject({
      status: 503,
      retryAfterSeconds: 5,
    });
    return { board, desk, tracks };
  };

  test('one for each person', async () => {
    const board = await demo();
    const desk = new WavDesk();
    const { body } = opened(desk, board, 'part=A');
    expect(refusal(desk, board, 'part=A')).toMatchObject({ status: 429, retryAfterSeconds: 5 });
    opened(desk, board, 'part=A', 'Birch');
    await bytesOf(body);
    opened(desk, board, 'part=A');
  });

  test('a board whose people take all of its places leaves some to others', async () => {
    const { board, desk } = await full();
    opened(desk, { ...board, id: 'anotherboard' as Board['id'] }, 'part=A');
  });

  test('a track that was read gives its place back', async () => {
    const { board, desk, tracks } = await full();
    await bytesOf(tracks[0]?.body ?? new ReadableStream());
    opened(desk, board, 'part=A', 'Elm');
    refusal(desk, board, 'part=A', 'Fir');
  });

  test('a reader who goes away gives the place back, once', async () => {
    const { board, desk, tracks } = await full();
    const reader = tracks[0]?.body.getReader();
    await reader?.read();
    await reader?.cancel();
    opened(desk, board, 'part=A', 'Elm');
    refusal(desk, board, 'part=A', 'Fir');
  });

  test('a reader who takes nothing loses the place', async () => {
    const { board, desk, tracks } = await full({ patience: 20 });
    await expect(tracks[0]?.body.getReader().closed).rejects.toThrow('nobody took the track');
    opened(desk, board, 'part=A');
  });

  test('a reader who takes a little now and then loses the place, however patient we are with each piece', async () => {
    const board = await demo();
    let now = 0;
    const desk = new WavDesk({ patience: 60_000, pace: 1024, now: () => now });
    const reader = opened(desk, board, 'pass=plain').body.getReader();
    // Four pieces of 16 kB are 64 s' worth at that pace.
    for (let piece = 0; piece < 3; piece += 1) await reader.read();
    refusal(desk, board, 'part=A');
    now = 60_000 + 65_000;
    await reader.read();
    await expect(reader.closed).rejects.toThrow('nobody took the track');
    opened(desk, board, 'part=A');
  });

  test('a reader who takes as much as is asked for keeps the place, however long it lasts', async () => {
    const board = await demo();
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    onTestFinished(() => void vi.useRealTimers());
    let now = 0;
    const desk = new WavDesk({ patience: 20_000, pace: 1024, now: () => now });
    const reader = opened(desk, board, 'pass=plain').body.getReader();
    for (let piece = 0; piece < 8; piece += 1) {
      const { value } = await reader.read();
      now += (1000 * (value?.length ?? 0)) / 1024;
      // Whoever was to be let go would be now.
      vi.advanceTimersByTime(1000);
      refusal(desk, board, 'part=A');
    }
    expect(now).toBeGreaterThan(5 * 20_000);
    await reader.cancel();
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
  expect(await server.host.exportWav(nowhere, query(''), undefined)).toBeUndefined();
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
