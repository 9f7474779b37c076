import type { AwarenessEntry } from '../../shared/wire/awareness';
import { PRESENCE_AT_ONCE, PRESENCE_WINDOW } from '../limits';

interface News {
  readonly entry: AwarenessEntry;
  /** Did one of our own sockets say it, and not another server? */
  readonly isOwn: boolean;
}

/**
 * Passes on what pages say of themselves: at once, and where more is said in a moment than people can see, the last word of each page at the end of
 * that moment. A page that says something new two hundred times a second to three hundred others would take a processor by itself.
 */
export class Gathering {
  private readonly waiting = new Map<number, News>();
  private passed = 0;
  private timer: NodeJS.Timeout | undefined;

  /** @param pass gets what is new, one entry a page, and what of it our own sockets have said */
  constructor(
    private readonly pass: (all: readonly AwarenessEntry[], own: readonly AwarenessEntry[]) => void,
  ) {}

  add(entries: readonly AwarenessEntry[], isOwn: boolean): void {
    if (entries.length === 0) return;
    for (const entry of entries) this.waiting.set(entry.client, { entry, isOwn });
    this.timer ??= this.begin();
    if (this.passed < PRESENCE_AT_ONCE) this.passNow();
  }

  /** Passes on at once what waits. */
  passNow(): void {
    if (this.waiting.size === 0) return;
    const news = [...this.waiting.values()];
    this.waiting.clear();
    this.passed += 1;
    const own = news.filter(({ isOwn }) => isOwn);
    this.pass(
      news.map(({ entry }) => entry),
      own.map(({ entry }) => entry),
    );
  }

  private begin(): NodeJS.Timeout {
    this.passed = 0;
    return setTimeout(() => {
      this.timer = undefined;
      if (this.waiting.size === 0) return;
      this.timer = this.begin();
      this.passNow();
    }, PRESENCE_WINDOW).unref();
  }
}
