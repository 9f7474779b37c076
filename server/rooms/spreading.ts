import type { Ms, ParticipantId } from '../../lib/units';
import { MAX_PEOPLE, SPREAD_A_SECOND, SPREAD_BURST } from '../limits';

interface Spent {
  readonly sends: number;
  readonly atMs: Ms;
}

/**
 * What each person has the server pass on to others, on all their pages together: a change costs as many sends as others hear of it. Who opens the
 * board anew goes on where they were.
 */
export class Spreading {
  private readonly spent = new Map<ParticipantId, Spent>();

  constructor(private readonly now: () => Ms) {}

  /** People who are remembered. */
  get size(): number {
    return this.spent.size;
  }

  /** Counts so many sends more; false where that is more than one person may cause. */
  charge(participant: ParticipantId, sends: number): boolean {
    const total = this.leftOf(participant) + sends;
    this.spent.set(participant, { sends: total, atMs: this.now() });
    if (this.spent.size > 2 * MAX_PEOPLE) this.forgetQuiet();
    return total <= SPREAD_BURST;
  }

  /** What of earlier sends still counts. A clock that was set back forgives nothing. */
  private leftOf(participant: ParticipantId): number {
    const { sends, atMs } = this.spent.get(participant) ?? { sends: 0, atMs: this.now() };
    const seconds = Math.max(0, this.now() - atMs) / 1000;
    return Math.max(0, sends - seconds * SPREAD_A_SECOND);
  }

  private forgetQuiet(): void {
    for (const participant of this.spent.keys())
      if (this.leftOf(participant) === 0) this.spent.delete(participant);
  }
}
