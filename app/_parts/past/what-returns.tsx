/** What a return brings back and what it leaves, in words. */
export function WhatReturns() {
  return (
    <div className="grid gap-4 sm:grid-cols-2">
      <div>
        <h3>What comes back</h3>
        <p>
          What leaders decide: the tune and its settings, the agreed passes, how many there are, how
          votes become turns, and what was locked, hidden, shut or chosen over the votes.
        </p>
      </div>
      <div>
        <h3>What stays as it is now</h3>
        <p>
          Variants, remarks and votes belong to those who gave them: nobody but they can bring them
          back or change them. Who has left the board stays out of it, here too; where a pass played
          something of theirs it plays the plain measure. Voting, freezing, secrecy, people’s names,
          who counts as one person, and the playing stay too.
        </p>
      </div>
    </div>
  );
}
