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
import type { Shares } from './places';
import { Places } from './places';

/** Samples a second, one channel, 16 bits: 5 MB a minute. Source: the compact disc's rate, which everything plays. */
const SAMPLE_RATE = 44_100;
/** Longest track. A jam of ten minutes, and as long again for practising it slowly. */
const MAX_SECONDS = 20 * 60;
/** A reader who takes nothing for so long is let go, so that others can have the place. */
const READER_PATIENCE: Ms = 20_000;
/** And so is one who takes less than so much a second, all in all: the longest track then takes an hour, where it could be held for days. */
const LEAST_PACE = 32 * 1024;
/** Frames rendered at a time, about two milliseconds' work; sockets are served in between. */
const BLOCK = 8192;

/** Rendering runs some hundred times faster than the music and waits for its reader; what a place costs is memory, a few MB. */
const TRACKS: Shares = { all: 8, aBoard: 4, aPerson: 1 };

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

export interface WavPatience {
  readonly patience?: Ms;
  /** Bytes a second. */
  readonly pace?: number;
  readonly now?: () => Ms;
}

/** Renders practice tracks, a few at a time and one for each person. */
export class WavDesk {
  private readonly places = new Places(TRACKS);
  private readonly patience: Ms;
  private readonly pace: number;
  private readonly now: () => Ms;

  constructor({ patience, pace, now }: WavPatience = {}) {
    this.patience = patience ?? READER_PATIENCE;
    this.pace = pace ?? LEAST_PACE;
    this.now = now ?? (() => performance.now());
  }

  /** A track as a WAV file in pieces, rendered as they are taken, or why there is none. @param who asks */
  track(board: Board, params: URLSearchParams, who: string): WavAnswer {
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
    const place = this.places.take({ board: board.id, who });
    if (place === 'yours') {
      const words = 'You are taking a track away already. Take the next one when it is there.';
      return { ok: false, status: 429, words, retryAfterSeconds: 5 };
    }
    if (place === 'others') {
      const words = 'Others are taking tracks away just now. Try again in a few seconds.';
      return { ok: false, status: 503, words, retryAfterSeconds: 5 };
    }
    const frames = soundFrames(track, SAMPLE_RATE);
    const shape: WavShape = { format: 'pcm16', sampleRate: SAMPLE_RATE, channels: 1, frames };
    const options = { sampleRate: SAMPLE_RATE, channels: 1, mix: wavMix(wish) } as const;
    const blocks = soundBlocks(track, options, BLOCK);
    return { ok: true, body: this.stream(wavStream(shape, blocks), place.giveBack) };
  }

  /** A stream that renders what is asked of it and gives its place back when it is read, cancelled, left alone too long, or read too slowly. */
  private stream(
    pieces: Iterator<Uint8Array<ArrayBuffer>>,
    giveBack: () => void,
  ): ReadableStream<Uint8Array> {
    const begunMs = this.now();
    let waiting: ReturnType<typeof setTimeout> | undefined;
    let held = true;
    let taken = 0;
    const letGo = () => {
      clearTimeout(waiting);
      giveBack();
      held = false;
    };
    const waitForReader = (controller: ReadableStreamDefaultController) => {
      const untilMs = begunMs + this.patience + (1000 * taken) / this.pace;
      const left = Math.min(this.patience, untilMs - this.now());
      waiting = setTimeout(() => {
        letGo();
        controller.error(new Error('nobody took the track away'));
      }, left);
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
            taken += value.length;
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
