import type { ClockReading, Exchange, ServerClock } from '../../../lib/clock';
import {
  NO_CLOCK,
  offsetAt,
  readClock,
  withExchange,
  withNewLine,
  withSleep,
} from '../../../lib/clock';
import type { Ms } from '../../../lib/units';

/** Questions for the time: ten quickly, then one every two seconds while somebody plays, else now and then. */
const QUICK_QUESTIONS = 10;
const QUICK_MS: Ms = 200;
const PLAYING_MS: Ms = 2000;
const IDLE_MS: Ms = 15_000;
/** `performance.now()` may stand still while a computer sleeps; a wall clock that is set by hand jumps too, and is set right again. */
const SLEPT_MS: Ms = 1000;
const LOOK_MS: Ms = 500;

/** Milliseconds of this browser's clock, without jumps. */
function localNow(): Ms {
  return performance.timeOrigin + performance.now();
}

/**
 * The page as it came over the network, taken as an exchange: asked for when the request began, answered when its first byte came,
 * which the server sends when the page is rendered. Undefined where the page came out of a cache, or is not the one that was asked for.
 * @param renderedMs server time at which it was rendered
 */
function pageExchange(renderedMs: Ms): Exchange | undefined {
  const [page] = performance.getEntriesByType('navigation');
  if (!(page instanceof PerformanceNavigationTiming) || page.transferSize === 0) return undefined;
  const { timeOrigin } = performance;
  const t1 = timeOrigin + page.requestStart;
  return { t1, t2: renderedMs, t3: renderedMs, t4: timeOrigin + page.responseStart };
}

/** Keeps the server's time: asks for it, notices sleep, and says how good it is. Ended with `stop`. */
export class Pulse {
  private clock: ServerClock = NO_CLOCK;
  private questions = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly looking: ReturnType<typeof setInterval>;
  private wallAhead = Date.now() - localNow();

  /**
   * @param ask sends a question with our time, if there is a line
   * @param changed told when the clock was lost or found
   */
  constructor(
    private readonly ask: (t1: Ms) => void,
    private readonly isPlaying: () => boolean,
    private readonly changed: () => void,
    renderedMs: Ms | undefined,
  ) {
    const page = renderedMs === undefined ? undefined : pageExchange(renderedMs);
    if (page) this.clock = withExchange(this.clock, page);
    this.looking = setInterval(() => this.lookForSleep(), LOOK_MS);
    document.addEventListener('visibilitychange', this.woken);
    window.addEventListener('pageshow', this.woken);
    window.addEventListener('online', this.woken);
  }

  /** Server time as well as it is known; this browser's own before the first answer. */
  readonly now = (): Ms => {
    const local = localNow();
    return local + offsetAt(this.clock, local);
  };

  /** How good the time is; undefined while it is not known. */
  readonly reading = (): ClockReading | undefined => readClock(this.clock, localNow());

  /** A line was opened: what is known holds until the first answer. */
  connected(): void {
    this.clock = withNewLine(this.clock);
    this.askQuickly();
  }

  disconnected(): void {
    clearTimeout(this.timer);
  }

  heard(answer: Omit<Exchange, 't4'>): void {
    const known = this.clock.taken > 0;
    this.clock = withExchange(this.clock, { ...answer, t4: localNow() });
    if (!known) this.changed();
  }

  stop(): void {
    clearTimeout(this.timer);
    clearInterval(this.looking);
    document.removeEventListener('visibilitychange', this.woken);
    window.removeEventListener('pageshow', this.woken);
    window.removeEventListener('online', this.woken);
  }

  private readonly woken = (): void => {
    this.lookForSleep();
    if (document.visibilityState === 'visible') this.askQuickly();
  };

  private lookForSleep(): void {
    const local = localNow();
    const wallAhead = Date.now() - local;
    const slept = wallAhead - this.wallAhead;
    this.wallAhead = wallAhead;
    if (slept < SLEPT_MS) return;
    this.clock = withSleep(this.clock, local, slept);
    this.askQuickly();
    this.changed();
  }

  private askQuickly(): void {
    this.questions = 0;
    this.question();
  }

  private question(): void {
    clearTimeout(this.timer);
    this.ask(localNow());
    this.questions += 1;
    const later = this.isPlaying() ? PLAYING_MS : IDLE_MS;
    this.timer = setTimeout(
      () => this.question(),
      this.questions < QUICK_QUESTIONS ? QUICK_MS : later,
    );
  }
}
