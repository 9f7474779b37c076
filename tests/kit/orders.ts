import type { ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { saidBy } from '../../shared/board/roles';
import { writeProposal } from '../../shared/board/write';
import { wordFrame } from '../../shared/wire/frame';
import type { Up } from '../../shared/wire/up';
import type { Peer } from './peers';
import type { Actor, Stage } from './stage';

/** Says a word that asks the server for an act. */
export const act = ({ peer }: Pick<Actor, 'peer'>, word: Up) => peer.send(wordFrame(word));
/** Why somebody was refused so far. */
export const codes = ({ peer }: Pick<Actor, 'peer'>) => peer.refusals.map(({ code }) => code);
/** Every message about the documents of one person that somebody was sent, by name. */
export const documentsOf = (peer: Peer, id: ParticipantId): readonly DocumentName[] =>
  peer.frames.flatMap((frame) =>
    frame.kind === 'sync' && frame.document.endsWith(id) ? [frame.document as DocumentName] : [],
  );

/** Puts a variant of the first measure forward and waits until it is kept. */
export async function propose({ me, peer }: Actor, strokes: number, note = ''): Promise<string> {
  const measure = peer.sees?.tune.parts[0]?.measures[0];
  if (!measure) throw new Error('the demo has a first measure');
  let id = '';
  peer.edit(saidBy(me.participant), (doc) => {
    id = writeProposal(doc, me.participant, {
      measure: measure.id,
      strokes: measure.strokes.slice(0, strokes),
      note,
    });
  });
  await peer.settled();
  return id;
}

/** The leader takes somebody out; waits until that is done. */
export async function remove(it: Stage, actor: Actor = it.victim): Promise<void> {
  act(it.leader, { kind: 'remove-person', participant: actor.me.participant });
  await actor.peer.until(() => actor.peer.closed !== undefined);
  await it.leader.peer.settled();
}

/** The board as it is for somebody of whom nothing is known. */
export const board = ({ server, board: { id } }: Stage) => server.host.readBoard(id);
