import type { CodeRole } from '../../../shared/api/link-code';
import { CODE_ROLES } from '../../../shared/api/link-code';

/** The blocks that a sheet may have, in the order in which they are printed. */
export const BLOCKS = ['legend', 'plain', 'ways', 'passes', 'remarks'] as const;
export type Block = (typeof BLOCKS)[number];

export const BLOCK_NAMES: Readonly<Record<Block, string>> = {
  legend: 'tuning and how to read the tab',
  plain: 'the plain tune',
  ways: 'one block for each embellishment',
  passes: 'the agreed passes',
  remarks: 'what people said of their variants',
};

export const PAPERS = ['A4', 'Letter'] as const;
export type Paper = (typeof PAPERS)[number];

/** What a sheet is to have on it. */
export interface SheetWishes {
  readonly blocks: ReadonlySet<Block>;
  readonly paper: Paper;
  readonly large: boolean;
  /** Whose link stands on it as a code to scan; absent: none. */
  readonly code?: CodeRole;
}

type Query = Readonly<Record<string, string | readonly string[] | undefined>>;

/** The wishes in a query string; without any, all blocks on A4. What it does not know it leaves out. */
export function parseWishes(query: Query): SheetWishes {
  const asked = [query.block ?? []].flat();
  const blocks = asked.length > 0 ? BLOCKS.filter((block) => asked.includes(block)) : BLOCKS;
  const code = CODE_ROLES.find((role) => role === query.code);
  return {
    blocks: new Set(blocks),
    paper: PAPERS.find((paper) => paper === query.paper) ?? 'A4',
    large: query.large === 'yes',
    ...(code ? { code } : {}),
  };
}
