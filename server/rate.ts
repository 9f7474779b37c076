import type { Ms } from '../lib/units';

/** So many of something in a while from one address; older ones are forgotten. */
export class Rate {
  private readonly times = new Map<string, readonly Ms[]>();

  constructor(
    private readonly most: number,
    private readonly during: Ms,
    private readonly now: () => Ms,
  ) {}

  /** Counts one more from this address; false, and not counted, where that is too many. */
  take(address: string): boolean {
    const since = this.now() - this.during;
    const recent = (this.times.get(address) ?? []).filter((time) => time > since);
    if (recent.length >= this.most) return false;
    this.times.set(address, [...recent, this.now()]);
    if (this.times.size > MAX_ADDRESSES) this.forgetOld(since);
    return true;
  }

  private forgetOld(since: Ms): void {
    for (const [address, times] of this.times)
      if (!times.some((time) => time > since)) this.times.delete(address);
  }
}

/** Addresses that are remembered before old ones are looked for. Source: ours; some 100 bytes each. */
const MAX_ADDRESSES = 10_000;
