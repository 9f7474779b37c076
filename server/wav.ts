import { pitchClassFromName } from '../lib/pitch';
import type { LeadIn } from '../lib/sound/lead-in';
import { soundBlocks, soundFrames, TAIL_SECONDS } from '../lib/sound/render';
import type { ScoreRequest } from '../lib/sound/score';
import { tickSeconds } from '../lib/sound/time';
import type { WavShape } from '../lib/sound/wav';
import { wavStream } from '../lib/sound/wav';
import type { Ms } from '../lib/units';
import type { Count, WavWish } from '../shared/api/export-wav';
import { wavWishFrom } from '../shared/api/export-wav';
import { passagesOf } from '../shared/board/passages';
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

function leadInOf(count: Count, board: Board): { readonly leadIn?: LeadIn } {
  if (count === 'none') return {};
  if (count === 'count') return { leadIn: { kind: 'count' } };
  return { leadIn: { kind: 'potatoes', tonic: pitchClassFromName(board.tune.key.tonic) ?? 0 } };
}

/** The score of a wish; undefined where the board has nothing of that name. */
export function scoreRequest(board: Board, wish: WavWish): ScoreRequest | undefined {
  const once = passagesOf(board, wish.choice, wish.stretch).flat();
  if (once.length === 0) return undefined;
  const measures = Array.from({ length: wish.times }, () => once).flat();
  return {
    measures: measures.map(({ measure }) => measure),
    neck: board.tune.neck,
    tempo: wish.tempo ?? board.tune.tempo,
    swing: wish.swing,
    click: wish.click,
    ...leadInOf(wish.count, board),
  };
}

function secondsOf({ measures, tempo }: ScoreRequest): number {
  return measures.reduce((sum, each) => sum + each.ticks * tickSeconds(each, tempo), TAIL_SECONDS);
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
    const request = scoreRequest(board, parsed.wish);
    if (!request) return refused(404, 'This board has no such pass, part, measure or variant.');
    const seconds = secondsOf(request);
    if (seconds > MAX_SECONDS) {
      const words = `This would last ${minutesWords(seconds)}, and a track can have ${minutesWords(MAX_SECONDS)} at most. Take fewer passes, or a faster tempo.`;
      return refused(400, words);
    }
    if (this.open >= MAX_TRACKS) {
      const words = 'Others are taking tracks away just now. Try again in a few seconds.';
      return { ok: false, status: 503, words, retryAfterSeconds: 5 };
    }
    const frames = soundFrames(request, SAMPLE_RATE);
    const shape: WavShape = { format: 'pcm16', sampleRate: SAMPLE_RATE, channels: 1, frames };
    const blocks = soundBlocks(request, { sampleRate: SAMPLE_RATE, channels: 1 }, BLOCK);
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
