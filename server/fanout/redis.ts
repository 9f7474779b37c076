import { Redis } from 'ioredis';
import type { Report } from '../failure';
import type { Fanout } from './fanout';

const PREFIX = 'passround:';
/** Longest pause before Redis is tried again, ms. */
const LONGEST_PAUSE = 1000;

type Hear = (message: Uint8Array) => void;

/** Fan-out by Redis' publish and subscribe. Redis keeps nothing; while it is away nothing is said, and nodes read the database instead. */
export class RedisFanout implements Fanout {
  private readonly speaker: Redis;
  private readonly listener: Redis;
  private readonly ears = new Map<string, Set<Hear>>();
  private back: () => void = () => undefined;
  private isAway = false;
  private isClosed = false;

  /** @param url "redis://host:6379"; a server that cannot be reached is tried again and again */
  constructor(
    url: string,
    private readonly report: Report,
  ) {
    const options = {
      // What cannot be said now is not said later: whoever missed it has read the database by then.
      enableOfflineQueue: false,
      autoResubscribe: false,
      maxRetriesPerRequest: 0,
      retryStrategy: (times: number) => Math.min(LONGEST_PAUSE, 50 * times),
    };
    this.speaker = new Redis(url, options);
    this.listener = new Redis(url, options);
    this.speaker.on('error', (error) => this.noteAway(error));
    this.listener.on('error', (error) => this.noteAway(error));
    this.listener.on('close', () => this.noteAway(new Error('the line was cut')));
    this.listener.on('ready', () => void this.subscribeAll());
    this.listener.on('messageBuffer', (channel: Buffer, message: Buffer) => {
      const ears = this.ears.get(channel.toString()) ?? [];
      for (const hear of ears) hear(new Uint8Array(message));
    });
  }

  listen(topic: string, hear: Hear): () => void {
    const channel = PREFIX + topic;
    const ears = this.ears.get(channel) ?? new Set();
    this.ears.set(channel, ears);
    ears.add(hear);
    if (ears.size === 1) this.attempt(this.listener, () => this.listener.subscribe(channel));
    return () => {
      ears.delete(hear);
      if (ears.size > 0 || this.ears.get(channel) !== ears) return;
      this.ears.delete(channel);
      this.attempt(this.listener, () => this.listener.unsubscribe(channel));
    };
  }

  say(topic: string, message: Uint8Array): void {
    const said = Buffer.from(message);
    this.attempt(this.speaker, () => this.speaker.publish(PREFIX + topic, said));
  }

  onBack(back: () => void): void {
    this.back = back;
  }

  async close(): Promise<void> {
    this.isClosed = true;
    // What is on its way is for nobody any more.
    this.ears.clear();
    this.speaker.disconnect();
    this.listener.disconnect();
  }

  private async subscribeAll(): Promise<void> {
    try {
      if (this.ears.size > 0) await this.listener.subscribe(...this.ears.keys());
      this.isAway = false;
      this.back();
    } catch (error) {
      this.noteAway(error);
    }
  }

  private noteAway(error: unknown): void {
    if (this.isAway || this.isClosed) return;
    this.isAway = true;
    this.report('Redis is away: nodes hear of one another only every second now.', error);
  }

  /**
   * Does something where there is a line, and nothing where there is none: whoever comes back subscribes to everything, and what was not
   * said is in the database.
   */
  private attempt(redis: Redis, send: () => Promise<unknown>): void {
    if (redis.status === 'ready') send().catch((error: unknown) => this.noteAway(error));
  }
}
