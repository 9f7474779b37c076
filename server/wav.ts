import type { Mix } from '../lib/sound/banjo';
import { DEFAULT_MIX } from '../lib/sound/banjo';
import { soundBlocks, soundFrames, TAIL_SECONDS } from '../lib/sound/render';
import type { Track } from '../lib/sound/round';
import { roundScore, trackOf } from '../lib/sound/round';
import type { ScoreRequest } from '../lib/sound/score';
import { tickSeconds } from '../lib/sound/time';
import type { WavShape } from '../lib/sound/wav';
import { wavStream } from '../lib/sound/wav';
import type { Ms } from '../lib/units';
import type { WavWish } from '../shared/api/export-wav';
import { wavWishFrom } from '../shared/api/export-wav';
import { roundsToGoal } from '../shared/board/ladder';
import type { LessonRound } from '../shared/board/lesson';
import { lessonOf, lessonRound } from '../shared/board/lesson';
import type { Board } from '../shared/board/schema';
import type { WavAnswer } from './host';

/** Samples a second, one channel, 16 bits: 5 MB a minute. Source: the compact disc's rate, which everything plays. */
const SAMPLE_RATE = 44_100;
/** Longest track. A jam of ten minutes, and as long again for practising it slowly. */
const MAX_SECONDS = 20 * 60;
/** Tracks that are rendered at a time; rendering runs some hundred times faster than the music. */
export const MAX_TRACKS = 2;
/** A reader who takes nothing for so long is let go, so that others can have the place. */
const READER_PATIENCE: Ms = 20_000;
/** Frames rendered at a time, about two milliseconds' work; sockets are served in between. */
const BLOCK = 8192;

const refused = (status: number, words: string): WavAnswer => ({ ok: false, status, words });

/** The rounds of a wish in the order they are played; empty where the board has nothing of that name, or nothing that changes. */
export function wavRounds(board: Board, wish: WavWish): Iterable<LessonRound> {
  const lesson = lessonOf(board, wish);
  const tempo = wish.tempo ?? board.tune.tempo;
  const once = wish.alternate ? 2 * lesson.length : lesson.length;
  const count = wish.stepUp ? roundsToGoal(wish, tempo) : wish.times * once;
  return roundsUpTo(lesson.length === 0 ? 0 : count, (index) =>
    lessonRound(board, lesson, { ...wish, loop: true }, { round: 0, tempo }, index),
  );
}

function* roundsUpTo(
  count: number,
  round: (index: number) => LessonRound | undefined,
): Generator<LessonRound> {
  for (let index = 0; index < count; index += 1) {
    const next = round(index);
    if (next) yield next;
  }
}

function secondsOf({ measures, tempo }: ScoreRequest): number {
  return measures.reduce((sum, each) => sum + each.ticks * tickSeconds(each, tempo), 0);
}

/** All that is heard of a wish, or that it is longer than a track can be. */
export function wavTrack(
  board: Board,
  wish: WavWish,
): { readonly track: Track } | { readonly tooLong: true } {
  let seconds = TAIL_SECONDS;
  const rounds: LessonRound[] = [];
  for (const round of wavRounds(board, wish)) {
    seconds += secondsOf(round.request);
    if (seconds > MAX_SECONDS) return { tooLong: true };
    rounds.push(round);
  }
  const { accent } = wish;
  const scores = rounds.map(({ request, alone }) => roundScore(request, { alone, accent }));
  return { track: trackOf(scores) };
}

/** Which strings are heard. */
export function wavMix({ melody, drone }: Pick<WavWish, 'melody' | 'drone'>): Mix {
  return {
    ...DEFAULT_MIX,
    melody: melody ? DEFAULT_MIX.melody : 0,
    drone: drone ? DEFAULT_MIX.drone : 0,
  };
}

function minutesWords(seconds: number): string {
  const minutes = Math.ceil(seconds / 60);
  return minutes === 1 ? '1 minute' : `${minutes} minutes`;
}

/** Renders practice tracks, a few at a time. */
export class WavDesk {
  private open = 0;

  constructor(private readonly patience: Ms = READER_PATIENCE) {}

  /** A track as a WAV file in pieces, rendered as they are taken, or why there is none. */
  track(board: Board, params: URLSearchParams): WavAnswer {
    const parsed = wavWishFrom(params);
    if ('problem' in parsed) return refused(400, parsed.problem);
    const { wish } = parsed;
    const made = wavTrack(board, wish);
    if ('tooLong' in made) {
      const words = `This would last more than ${minutesWords(MAX_SECONDS)}, which is the most that a track can have. Take fewer passes or rounds, or a faster tempo.`;
      return refused(400, words);
    }
    const { track } = made;
    if (track.seconds === 0)
      return refused(404, 'This board has no such pass, part, measure or variant.');
    if (this.open >= MAX_TRACKS) {
      const words = 'Others are taking tracks away just now. Try again in a few seconds.';
      return { ok: false, status: 503, words, retryAfterSeconds: 5 };
    }
    const frames = soundFrames(track, SAMPLE_RATE);
    const shape: WavShape = { format: 'pcm16', sampleRate: SAMPLE_RATE, channels: 1, frames };
    const options = { sampleRate: SAMPLE_RATE, channels: 1, mix: wavMix(wish) } as const;
    const blocks = soundBlocks(track, options, BLOCK);
    return { ok: true, body: this.stream(wavStream(shape, blocks)) };
  }

  /** A stream that renders what is asked of it and gives its place back when it is read, cancelled, or left alone too long. */
  private stream(pieces: Iterator<Uint8Array<ArrayBuffer>>): ReadableStream<Uint8Array> {
    this.open += 1;
    let waiting: ReturnType<typeof setTimeout> | undefined;
    let held = true;
    const letGo = () => {
      clearTimeout(waiting);
      if (held) this.open -= 1;
      held = false;
    };
    const waitForReader = (controller: ReadableStreamDefaultController) => {
      waiting = setTimeout(() => {
        letGo();
        controller.error(new Error('nobody took the track away'));
      }, this.patience);
    };
    return new ReadableStream<Uint8Array>(
      {
        start: waitForReader,
        pull: async (controller) => {
          clearTimeout(waiting);
          await new Promise((done) => setImmediate(done));
          if (!held) return;
          const { done, value } = next(pieces, letGo);
          if (!done) {
            controller.enqueue(value);
            waitForReader(controller);
            return;
          }
          letGo();
          controller.close();
        },
        cancel: letGo,
      },
      { highWaterMark: 0 },
    );
  }
}

/** The next piece; a place is given back before a mistake of ours goes on its way. */
function next<T>(pieces: Iterator<T>, letGo: () => void): IteratorResult<T> {
  try {
    return pieces.next();
  } catch (error) {
    letGo();
    throw error;
  }
}
