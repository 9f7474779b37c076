import type { ElectionRule } from '../../../lib/passes/elect';
import type { MeasureId, VariantId } from '../../../lib/units';
import type { Plan } from '../../../shared/board/schema';
import * as write from '../../../shared/board/write';
import type { Session } from '../session/session';

type Choice = VariantId | 'plain';

/** What a leader can do on the page of passes; each writes to the lead document. */
export interface PassActs {
  readonly setPasses: (passes: number) => void;
  readonly setRule: (rule: ElectionRule) => void;
  readonly setCarry: (carry: boolean) => void;
  readonly setPlainFirst: (plainFirst: boolean) => void;
  readonly lock: (
    cells: readonly {
      readonly pass: number;
      readonly measure: MeasureId;
      readonly choice: Choice | undefined;
    }[],
  ) => void;
  readonly keepPlain: (pass: number, plain: boolean) => void;
  readonly publish: (plan: Plan) => void;
}

export function passActsOf({ lead }: Session): PassActs {
  return {
    setPasses: (passes) => write.writePasses(lead, passes),
    setRule: (rule) => write.writePlanning(lead, { rule }),
    setCarry: (carry) => write.writePlanning(lead, { carry }),
    setPlainFirst: (plainFirst) => write.writePlanning(lead, { plainFirst }),
    lock: (cells) => write.writeLocks(lead, cells),
    keepPlain: (pass, plain) => write.writePlainPass(lead, pass, plain),
    publish: (plan) => write.writeAgreed(lead, plan),
  };
}
