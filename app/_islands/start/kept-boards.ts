import * as v from 'valibot';

/** A board that was started on this browser, with the links to hand out. They are kept here and nowhere else in the clear. */
export interface KeptBoard {
  readonly board: string;
  readonly title: string;
  readonly links: { readonly lead: string; readonly join: string; readonly watch: string };
}

const KEY = 'passround.boards';
const KEPT = 50;

const kept = v.array(
  v.object({
    board: v.string(),
    title: v.string(),
    links: v.object({ lead: v.string(), join: v.string(), watch: v.string() }),
  }),
);

function parseKept(text: string | null): readonly KeptBoard[] {
  if (text === null) return [];
  try {
    const parsed = v.safeParse(kept, JSON.parse(text));
    return parsed.success ? parsed.output : [];
  } catch (error) {
    if (error instanceof SyntaxError) return []; // somebody else's text under our key
    throw error;
  }
}

/** The boards started on this browser, newest first. */
export function keptBoards(): readonly KeptBoard[] {
  return parseKept(localStorage.getItem(KEY));
}

export function keepBoard(board: KeptBoard): void {
  const others = keptBoards().filter((one) => one.board !== board.board);
  localStorage.setItem(KEY, JSON.stringify([board, ...others].slice(0, KEPT)));
}
