import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';
import type { BallotId } from '../../shared/board/schema';

/** What leaders have decided that a return brings back. */
export interface Decided {
  readonly hidden: ReadonlySet<VariantId>;
  /** For each shut measure, from which place of arrival on nothing is shown. */
  readonly shut: ReadonlyMap<MeasureId, number>;
}

export interface ModelVariant {
  readonly id: VariantId;
  readonly author: ParticipantId;
  readonly measure: MeasureId;
  readonly arrived: number;
}

/** A tiny board of its own, to say who may see which ballot and what counts: nothing of it is read from the program. */
export class VotingModel {
  voting: 'open' | 'closed' | 'agreed' = 'open';
  secret = false;
  frozen = false;
  hidden = new Set<VariantId>();
  shut = new Map<MeasureId, number>();
  readonly same = new Map<ParticipantId, ParticipantId>();
  readonly gone = new Set<ParticipantId>();
  variants: ModelVariant[] = [];
  readonly points = new Map<number, Decided>();
  private readonly ballots = new Map<ParticipantId, ReadonlySet<BallotId>>();
  /** What each browser holds of each ballot. */
  private readonly held = new Map<ParticipantId, Map<ParticipantId, ReadonlySet<BallotId>>>();

  constructor(readonly people: readonly ParticipantId[]) {
    for (const person of people) this.held.set(person, new Map());
  }

  get here(): readonly ParticipantId[] {
    return this.people.filter((person) => !this.gone.has(person));
  }

  get ballotsAreHeld(): boolean {
    return this.secret && this.voting === 'open';
  }

  get nextArrival(): number {
    return this.variants.reduce((next, { arrived }) => Math.max(next, arrived + 1), 0);
  }

  get decided(): Decided {
    return { hidden: new Set(this.hidden), shut: new Map(this.shut) };
  }

  ballotOf(person: ParticipantId): ReadonlySet<BallotId> {
    return this.ballots.get(person) ?? new Set();
  }

  vote(person: ParticipantId, ballot: ReadonlySet<BallotId>): void {
    this.ballots.set(person, ballot);
  }

  /** Whoever may see a ballot has it now; what was held back stays as it was there. */
  spread(): void {
    for (const [viewer, seen] of this.held)
      for (const [owner, ballot] of this.ballots)
        if (viewer === owner || !this.ballotsAreHeld) seen.set(owner, ballot);
  }

  /** A browser that has forgotten everything. */
  comeAnew(person: ParticipantId): void {
    this.held.set(person, new Map());
  }

  holds(viewer: ParticipantId, owner: ParticipantId): ReadonlySet<BallotId> | undefined {
    return this.held.get(viewer)?.get(owner);
  }

  remove(person: ParticipantId): void {
    this.gone.add(person);
    this.ballots.delete(person);
    for (const { id } of this.variants.filter(({ author }) => author === person))
      this.hidden.delete(id);
    this.variants = this.variants.filter(({ author }) => author !== person);
    for (const [from, to] of [...this.same])
      if (from === person || to === person) this.same.delete(from);
  }

  returnTo({ hidden, shut }: Decided): void {
    this.hidden = new Set(hidden);
    this.shut = new Map(shut);
  }

  /** The approvals that a viewer is shown, by whom they are counted for. */
  approvals(viewer: ParticipantId): Readonly<Record<string, readonly string[]>> {
    const shown = new Set<string>(
      this.variants
        .filter(({ id }) => !this.hidden.has(id))
        .filter(({ measure, arrived }) => arrived < (this.shut.get(measure) ?? 1e9))
        .map(({ id }) => id),
    );
    const counted = new Map<string, Set<string>>();
    for (const [owner, ballot] of this.ballots) {
      if (this.ballotsAreHeld && owner !== viewer) continue;
      const ids = [...ballot].filter((id) => id.startsWith('plain:') || shown.has(id));
      if (ids.length === 0) continue;
      const voter = this.countedAs(owner);
      counted.set(voter, new Set([...(counted.get(voter) ?? []), ...ids]));
    }
    return Object.fromEntries([...counted].map(([voter, ids]) => [voter, [...ids].sort()]));
  }

  private countedAs(person: ParticipantId): ParticipantId {
    const way = [person];
    for (;;) {
      const next = this.same.get(way.at(-1) ?? person);
      if (next === undefined || this.gone.has(next)) return way.at(-1) ?? person;
      const from = way.indexOf(next);
      if (from >= 0) return way.slice(from).toSorted()[0] ?? person;
      way.push(next);
    }
  }
}
