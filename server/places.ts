import type { BoardId } from '../lib/units';

/** Whose place it is: somebody on a board, or everybody who came by the same link and shows no cookie. */
export interface Asker {
  readonly board: BoardId;
  readonly who: string;
}

/** How many may have a place at once. */
export interface Shares {
  readonly all: number;
  /** So that one board leaves something to the others. */
  readonly aBoard: number;
  readonly aPerson: number;
}

/** A place, to be given back, or why there is none: this person has theirs, or too many others have one. */
export type Place = { readonly giveBack: () => void } | 'yours' | 'others';

/** Places for work that takes long and of which only so much is done at a time, shared among people and boards. */
export class Places {
  private readonly taken = new Set<Asker>();

  constructor(private readonly shares: Shares) {}

  take(asker: Asker): Place {
    const { all, aBoard, aPerson } = this.shares;
    const onBoard = [...this.taken].filter(({ board }) => board === asker.board);
    if (onBoard.filter(({ who }) => who === asker.who).length >= aPerson) return 'yours';
    if (this.taken.size >= all || onBoard.length >= aBoard) return 'others';
    const place = { ...asker };
    this.taken.add(place);
    return { giveBack: () => void this.taken.delete(place) };
  }
}
