type Ballots = readonly (readonly string[])[];

function subsets<T>(items: readonly T[], size: number): readonly (readonly T[])[] {
  if (size === 0) return [[]];
  return items.flatMap((item, i) =>
    subsets(items.slice(i + 1), size - 1).map((rest) => [item, ...rest]),
  );
}

function candidatesOf(ballots: Ballots): readonly string[] {
  return [...new Set(ballots.flat())].sort();
}

/** How many of the winners a ballot approves. */
function wins(ballot: readonly string[], winners: readonly string[]): number {
  return winners.filter((id) => ballot.includes(id)).length;
}

/** Is a group of so many voters owed `level` of `seats` seats? */
function owed(group: number, ballots: Ballots, level: number, seats: number): boolean {
  return group > 0 && group * seats >= level * ballots.length;
}

/** Some `level` candidates approved by all of a group that is owed as many seats: does `fails` hold for one? */
function someGroup(
  ballots: Ballots,
  seats: number,
  fails: (group: Ballots, level: number) => boolean,
): boolean {
  return Array.from({ length: seats }, (_, i) => i + 1).some((level) =>
    subsets(candidatesOf(ballots), level).some((shared) =>
      fails(
        ballots.filter((ballot) => shared.every((id) => ballot.includes(id))),
        level,
      ),
    ),
  );
}

/** Extended justified representation: of a group owed `level` seats that agrees on as many candidates, somebody gets `level`. */
export function isExtendedJustified(ballots: Ballots, winners: readonly string[], seats: number) {
  return !someGroup(ballots, seats, (group, level) =>
    owed(group.filter((b) => wins(b, winners) < level).length, ballots, level, seats),
  );
}

/** Proportional justified representation: the group together, not one of it, approves `level` winners. */
export function isProportionalJustified(
  ballots: Ballots,
  winners: readonly string[],
  seats: number,
) {
  return !someGroup(ballots, seats, (group, level) =>
    subsets(winners, Math.min(level - 1, winners.length)).some((few) =>
      owed(group.filter((b) => wins(b, winners) === wins(b, few)).length, ballots, level, seats),
    ),
  );
}

/** Justified representation: a group owed a seat that agrees on one candidate is not left without any winner. */
export function isJustified(ballots: Ballots, winners: readonly string[], seats: number) {
  return candidatesOf(ballots).every(
    (id) =>
      !owed(
        ballots.filter((b) => b.includes(id) && wins(b, winners) === 0).length,
        ballots,
        1,
        seats,
      ),
  );
}

/** EJR+: the group need agree on one candidate only, which was not elected. */
export function isExtendedJustifiedPlus(
  ballots: Ballots,
  winners: readonly string[],
  seats: number,
) {
  return candidatesOf(ballots)
    .filter((id) => !winners.includes(id))
    .every((id) =>
      Array.from({ length: seats }, (_, i) => i + 1).every(
        (level) =>
          !owed(
            ballots.filter((b) => b.includes(id) && wins(b, winners) < level).length,
            ballots,
            level,
            seats,
          ),
      ),
    );
}
