import type { Level } from '../../../lib/hands/level';
import type { Stroke } from '../../../lib/tab/measure';
import type { Bpm, MeasureId, Ticks, VariantId } from '../../../lib/units';
import type { ExerciseTask } from '../../../shared/board/exercise';
import {
  exerciseAt,
  takeBackClaim,
  writeClaim,
  writeExercise,
} from '../../../shared/board/exercise';
import { writeVotingClosed } from '../../../shared/board/leading';
import type { BallotId, Plan } from '../../../shared/board/schema';
import * as write from '../../../shared/board/write';
import type { Session } from '../session/session';

/** What a person can do on the board page; each writes to a document that is theirs to write. */
export interface BoardActs {
  readonly setName: (name: string) => void;
  readonly propose: (measure: MeasureId, strokes: readonly Stroke[], note: string) => void;
  readonly takeBack: (variant: VariantId) => void;
  readonly approve: (id: BallotId, approves: boolean) => void;
  readonly setPasses: (passes: number) => void;
  readonly setLevel: (level: Level) => void;
  readonly setPlain: (
    measure: MeasureId,
    strokes: readonly Stroke[],
    melody: readonly Ticks[],
  ) => void;
  readonly setHead: (change: { readonly title?: string; readonly tempo?: Bpm }) => void;
  readonly markMelody: (measure: MeasureId, melody: readonly Ticks[]) => void;
  readonly overrule: (measure: MeasureId, chosen: VariantId | 'plain' | undefined) => void;
  readonly publish: (plan: Plan) => void;
  readonly closeVoting: () => void;
  readonly openVoting: () => void;
  readonly setExercise: (task: ExerciseTask | undefined) => void;
  /** Takes a measure of the exercise that is set; somebody may have been first. */
  readonly claim: (measure: MeasureId) => void;
  readonly letGo: (measure: MeasureId) => void;
  readonly lookAt: (measure: MeasureId | undefined) => void;
}

export function actsOf(session: Session): BoardActs {
  const { me, lead } = session;
  const board = () => session.state().board;
  return {
    setName: (name) => write.writeName(session.mine('said'), name),
    propose: (measure, strokes, note) => {
      const { tune, exercise: task } = board();
      const exercise = exerciseAt(tune, task, measure, session.now());
      const proposal = { measure, strokes, note, exercise };
      write.writeProposal(session.mine('said'), me.participant, proposal);
    },
    takeBack: (variant) => write.takeBackProposal(session.mine('said'), variant),
    approve: (id, approves) => write.writeApproval(session.mine('ballot'), id, approves),
    setPasses: (passes) => write.writePasses(lead, passes),
    setLevel: (level) => write.writeLevel(lead, level),
    setPlain: (measure, strokes, melody) => write.writePlain(lead, measure, strokes, melody),
    setHead: (change) => write.writeHead(lead, change),
    markMelody: (measure, melody) => write.writeMelody(lead, measure, melody),
    overrule: (measure, chosen) => write.writeOverruled(lead, measure, chosen),
    publish: (plan) => write.writeAgreed(lead, plan),
    closeVoting: () => writeVotingClosed(lead),
    openVoting: () => write.writeVotingOpen(lead),
    setExercise: (task) => writeExercise(lead, task),
    claim: (measure) => {
      const { exercise } = board();
      if (exercise) writeClaim(session.mine('said'), measure, exercise, session.now());
    },
    letGo: (measure) => takeBackClaim(session.mine('said'), measure),
    lookAt: (measure) => session.lookAt(measure),
  };
}
