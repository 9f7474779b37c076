import { writeFrozen, writeSecretBallots, writeVotingClosed } from '../../../shared/board/leading';
import type { Board } from '../../../shared/board/schema';
import { writeVotingOpen } from '../../../shared/board/write';
import type { Session } from '../session/session';

/** A switch in words: how it is now, and the button that changes it, which is also the way back. */
function Switch({
  is,
  words,
  button,
  press,
}: {
  readonly is: boolean;
  readonly words: string;
  readonly button: string;
  readonly press: () => void;
}) {
  return (
    <p className="flex flex-wrap items-center gap-3">
      <button type="button" className="button" aria-pressed={is} onClick={press}>
        {button}
      </button>
      <span>{words}</span>
    </p>
  );
}

/** What leaders order for the whole board. Each can be taken back by the same button. */
export function Order({ board, session }: { readonly board: Board; readonly session: Session }) {
  const { frozen, secretBallots } = board.orders;
  const open = board.voting === 'open';
  const { lead } = session;
  return (
    <section className="sheet grid gap-3" aria-labelledby="order">
      <h2 id="order">Order on the board</h2>
      <Switch
        is={frozen}
        button={frozen ? 'Let the board go on' : 'Freeze the board'}
        words={
          frozen
            ? 'Frozen: only leaders change anything. What others do is kept in their browsers and sent when it goes on.'
            : 'Everybody may put variants forward, and vote while voting is open.'
        }
        press={() => writeFrozen(lead, !frozen)}
      />
      <Switch
        is={secretBallots}
        button={secretBallots ? 'Show ballots as they come' : 'Keep ballots secret'}
        words={
          secretBallots
            ? 'Secret: nobody but its owner gets a ballot, you neither, until voting closes. Then everybody sees them.'
            : 'Everybody sees who approves what. Ballots that were seen stay seen.'
        }
        press={() => writeSecretBallots(lead, !secretBallots)}
      />
      <Switch
        is={!open}
        button={open ? 'Close voting' : 'Open voting again'}
        words={open ? 'Voting is open.' : 'Voting is closed: no ballot is taken.'}
        press={() => (open ? writeVotingClosed(lead) : writeVotingOpen(lead))}
      />
    </section>
  );
}
