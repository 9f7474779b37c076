import type { Ms } from '../lib/units';

/** Addresses that are remembered at once, at most. Source: ours; with 120 times each some 20 MB, however many addresses somebody has. */
export const MAX_ADDRESSES = 20_000;

/**
 * So many of something in a while from one address; older ones are forgotten. Of too many addresses those that have been quiet longest are
 * forgotten: who wants to be forgotten needs ten thousand others, each of which would have been let through by itself.
 */
export class Rate {
  /** When something was counted from addresses that asked lately, and from those that asked before them. */
  private lately = new Map<string, readonly Ms[]>();
  private before = new Map<string, readonly Ms[]>();

  constructor(
    private readonly most: number,
    private readonly during: Ms,
    private readonly now: () => Ms,
  ) {}

  /** How many addresses are remembered, at most. */
  get size(): number {
    return this.lately.size + this.before.size;
  }

  /** Counts one more from this address; false, and not counted, where that is too many. */
  take(address: string): boolean {
    const recent = this.recentOf(address);
    const isFree = recent.length < this.most;
    this.note(address, isFree ? [...recent, this.now()] : recent);
    return isFree;
  }

  /** Counts one less: what was counted last turned out to be nothing to count. */
  giveBack(address: string): void {
    this.note(address, this.recentOf(address).slice(0, -1));
  }

  private recentOf(address: string): readonly Ms[] {
    const since = this.now() - this.during;
    const times = this.lately.get(address) ?? this.before.get(address) ?? [];
    return times.filter((time) => time > since);
  }

  private note(address: string, times: readonly Ms[]): void {
    this.lately.set(address, times);
    // Half of them goes at once: taking one out of so many each time would be slow.
    if (this.lately.size < MAX_ADDRESSES / 2) return;
    this.before = this.lately;
    this.lately = new Map();
  }
}
