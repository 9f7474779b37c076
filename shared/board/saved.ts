import { checkFill } from '../../lib/tab/fill';
import type { PlainMeasure } from '../../lib/tune';
import { measureOf } from '../../lib/tune';
import type { VariantId } from '../../lib/units';
import type { SavedBoard } from '../api/saved-board';
import { DocumentFamily } from './documents';
import {
  writeCalled,
  writeFrozen,
  writeHidden,
  writeSecretBallots,
  writeShut,
  writeVotingClosed,
} from './leading';
import { proposalIdsIn } from './read';
import { writeLaidAside } from './restructure';
import { ballotOf, isParticipantId, saidBy } from './roles';
import type { BallotId, Plan } from './schema';
import { plainId } from './schema';
import { plainFrom } from './tune-value';
import { MAX_VARIANTS } from './values';
import {
  writeAgreed,
  writeApproval,
  writeArrivals,
  writeLevel,
  writeLocks,
  writeName,
  writeOverruled,
  writePasses,
  writePerson,
  writePlainPass,
  writePlanning,
  writeProposal,
  writeTune,
  writeVotingOpen,
} from './write';

/** Documents of a new board, and what of the saved one did not fit. */
export interface Restored {
  readonly family: DocumentFamily;
  readonly remarks: readonly string[];
}

type Group = NonNullable<SavedBoard['group']>;

/** Writes a saved board's group into documents, keeping what names something that is not there out of it. */
class Restoring {
  private readonly ids = new Map<string, VariantId>();
  private readonly measures: ReadonlyMap<string, PlainMeasure>;
  private lost = 0;
  /** Variants beyond what counts of one person. */
  private readonly uncounted = new Set<string>();

  constructor(
    private readonly family: DocumentFamily,
    private readonly saved: SavedBoard,
  ) {
    const all = saved.tune.parts.flatMap((part) => part.measures);
    const aside = (saved.group?.laidAside ?? []).map((one) => plainFrom(one.measure));
    this.measures = new Map([...aside, ...all].map((measure) => [measure.id, measure]));
  }

  restore(group: Group): readonly string[] {
    this.people(group);
    this.lost += writeLaidAside(
      this.family.lead,
      group.laidAside.map((one) => ({ ...one, measure: plainFrom(one.measure) })),
    );
    this.variants(group);
    this.votes(group);
    this.leading(group);
    return this.remarks();
  }

  private remarks(): readonly string[] {
    const { lost, uncounted } = this;
    const what = lost === 1 ? 'One entry' : `${lost} entries`;
    const named = `${what} of the saved board (variants, votes, orders) named something that is not in it, or did not add up, and was left out.`;
    const many = `Of what one person puts forward the first ${MAX_VARIANTS} variants count; ${uncounted.size} more of the saved board were left out, with the votes for them.`;
    return [...(lost > 0 ? [named] : []), ...(uncounted.size > 0 ? [many] : [])];
  }

  private people({ people, orders }: Group): void {
    for (const { id, role, name } of people) {
      writePerson(this.family.house, id, role);
      if (name !== '') writeName(this.family.open(saidBy(id)), name);
    }
    for (const [id, name] of Object.entries(orders.called))
      if (isParticipantId(id)) writeCalled(this.family.lead, id, name);
      else this.lost += 1;
  }

  private variants({ variants }: Group): void {
    const { meter } = this.saved.tune;
    const arrived: VariantId[] = [];
    for (const { id, author, measure, strokes, note, hidden } of variants) {
      const plain = this.measures.get(measure);
      if (!plain || checkFill(measureOf(meter, plain, strokes)).length > 0) {
        this.lost += 1;
        continue;
      }
      const said = this.family.open(saidBy(author));
      // Older boards held more, and who is counted as somebody else is in the file under that one.
      if (proposalIdsIn(said).length >= MAX_VARIANTS) {
        this.uncounted.add(id);
        continue;
      }
      const made = writeProposal(said, author, { measure, strokes, note });
      this.ids.set(id, made);
      arrived.push(made);
      if (hidden) writeHidden(this.family.lead, made, true);
    }
    writeArrivals(this.family.house, arrived);
  }

  private votes({ approvals }: Group): void {
    for (const [voter, ids] of Object.entries(approvals)) {
      const counted = ids.filter((id) => !this.uncounted.has(id));
      const known = isParticipantId(voter) ? counted.flatMap((id) => this.ballotId(id) ?? []) : [];
      this.lost += counted.length - known.length;
      if (isParticipantId(voter))
        for (const id of known) writeApproval(this.family.open(ballotOf(voter)), id, true);
    }
  }

  private ballotId(id: string): BallotId | undefined {
    const plain = id.startsWith('plain:') ? this.measures.get(id.slice(6)) : undefined;
    return plain ? plainId(plain.id) : this.ids.get(id);
  }

  private choice(id: string): VariantId | 'plain' | undefined {
    const known = id === 'plain' ? id : this.ids.get(id);
    if (known === undefined && !this.uncounted.has(id)) this.lost += 1;
    return known;
  }

  private leading({ voting, passes, level, planning, overruled, orders }: Group): void {
    const { lead, house } = this.family;
    writePasses(lead, passes);
    writeLevel(lead, level);
    const { rule, carry, plainFirst, locks } = planning;
    writePlanning(lead, { rule, carry, plainFirst });
    for (const lock of locks) {
      if (lock.kind === 'plain-pass') writePlainPass(lead, lock.pass, true);
      else writeLocks(lead, [{ ...lock, choice: this.choice(lock.choice) }]);
    }
    for (const part of this.saved.tune.parts)
      for (const { id } of part.measures) {
        const chosen = Object.hasOwn(overruled, id) ? overruled[id] : undefined;
        if (chosen !== undefined) writeOverruled(lead, id, this.choice(chosen));
        if (orders.shut.includes(id)) writeShut(lead, house, id, true);
      }
    writeFrozen(lead, orders.frozen);
    writeSecretBallots(lead, orders.secretBallots);
    if (voting === 'closed') writeVotingClosed(lead);
  }

  /** The plan under the ids that its variants have here; one that is in the plan alone keeps its own. */
  plan(plan: Plan): Plan {
    const here = (id: string) => this.ids.get(id) ?? (id as VariantId);
    return {
      passes: plan.passes.map((pass) =>
        Object.fromEntries(
          Object.entries(pass).map(([measure, id]) => [measure, id === 'plain' ? id : here(id)]),
        ),
      ),
      variants: Object.fromEntries(
        Object.entries(plan.variants).map(([id, variant]) => [here(id), variant]),
      ),
    };
  }
}

/** A saved board as the documents of a new one. Nobody who is in it can come back as who they were: links and cookies are new. */
export function restored(saved: SavedBoard): Restored {
  const family = new DocumentFamily();
  writeTune(family.lead, saved.tune);
  const restoring = new Restoring(family, saved);
  const remarks = saved.group ? restoring.restore(saved.group) : [];
  if (saved.plan) {
    writeAgreed(family.lead, restoring.plan(saved.plan));
    if (saved.group?.voting !== 'agreed') writeVotingOpen(family.lead);
    if (saved.group?.voting === 'closed') writeVotingClosed(family.lead);
  }
  return { family, remarks };
}
