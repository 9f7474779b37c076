import type { ServerClock } from '../lib/clock';
import { NO_CLOCK, offsetAt, withExchange } from '../lib/clock';
import type { Ms } from '../lib/units';
import type { Report } from './failure';

/** Questions at the start, and how often one is asked from then on. */
const FIRST_QUESTIONS = 8;
const ASK_EVERY: Ms = 5000;

/**
 * The time of day that all servers share: the database's, read by asking again and again and gone by from our own clock in between. So the
 * beat is the same on every server, whatever their own clocks say. Never goes back.
 */
export class SharedClock {
  private clock: ServerClock = NO_CLOCK;
  private latest: Ms = 0;
  private timer: NodeJS.Timeout | undefined;
  private isAsking = false;

  /**
   * @param local a clock of our own that never jumps
   * @param ask the time at the database
   */
  constructor(
    private readonly local: () => Ms,
    private readonly ask: () => Promise<Ms>,
  ) {}

  /** @throws StoreError if the database does not answer */
  async start(report: Report, askEveryMs: Ms = ASK_EVERY): Promise<void> {
    for (let asked = 0; asked < FIRST_QUESTIONS; asked += 1) await this.exchange();
    this.timer = setInterval(() => {
      if (this.isAsking) return;
      this.isAsking = true;
      this.exchange()
        .catch((error: unknown) => report('The time of the database could not be read.', error))
        .finally(() => {
          this.isAsking = false;
        });
    }, askEveryMs);
    this.timer.unref();
  }

  now(): Ms {
    const local = this.local();
    this.latest = Math.max(this.latest, local + offsetAt(this.clock, local));
    return this.latest;
  }

  stop(): void {
    clearInterval(this.timer);
  }

  private async exchange(): Promise<void> {
    const t1 = this.local();
    const told = await this.ask();
    this.clock = withExchange(this.clock, { t1, t2: told, t3: told, t4: this.local() });
  }
}
