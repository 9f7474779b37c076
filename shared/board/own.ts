import type * as Y from 'yjs';
import { BALLOT, SAID } from './schema';

/** What somebody has on a board, as it stands in their own documents: also what is hidden, laid aside, or more than counts. */
export interface Own {
  readonly name: string;
  /** Each with its id. */
  readonly variants: readonly Readonly<Record<string, unknown>>[];
  readonly approvals: readonly string[];
  /** Measures taken in an exercise, with when. */
  readonly claims: Readonly<Record<string, unknown>>;
}

/** Everything of somebody that is kept, for them to take away. Values are theirs as they wrote them, and are not checked. */
export function ownOf(said: Y.Doc, ballot: Y.Doc): Own {
  const name = said.getMap(SAID.me).get('name');
  const proposals = [...said.getMap(SAID.proposals).entries()];
  return {
    name: typeof name === 'string' ? name : '',
    variants: proposals.map(([id, value]) => ({
      id,
      ...(typeof value === 'object' && value !== null ? value : { value }),
    })),
    approvals: [...ballot.getMap(BALLOT.approvals).keys()].sort(),
    claims: Object.fromEntries(said.getMap(SAID.claims).entries()),
  };
}
