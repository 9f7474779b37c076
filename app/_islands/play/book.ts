import type { ParticipantId } from '../../../lib/units';

/** The passes as they are played, drawn by the server: plain values, so that a page can hold all of them while its line is down. */
export interface Book {
  /** What is played in it (`nameOfPlayed`): another plan has another name. */
  readonly name: string;
  /** From pass 1 on. */
  readonly passes: readonly BookPass[];
  /** How tall a measure is drawn, as a part of its width. */
  readonly tall: number;
  /** Measures that look alike are drawn once. */
  readonly drawings: Readonly<Record<string, BookDrawing>>;
}

/** A pass: each time through a part a block. */
export interface BookPass {
  readonly parts: readonly BookPart[];
}

export interface BookPart {
  readonly letter: string;
  readonly visits: readonly BookVisit[];
}

export interface BookVisit {
  /** Place in the pass, from 0. */
  readonly index: number;
  /** Key of its drawing. */
  readonly drawing: string;
  /** Whose variant it is; absent where it is plain. */
  readonly by?: string;
  /** Whose turn it is, where it goes round the circle. */
  readonly turn?: { readonly id: ParticipantId; readonly name: string };
}

export interface BookDrawing {
  /** An SVG with its words as title; the serializer has escaped what people wrote. */
  readonly html: string;
  /** Where each slot stands, as per cent of the width, with a blank between. */
  readonly slots: string;
}

/** A pass with what it needs of the drawings. */
export interface Leaf {
  readonly pass: number;
  readonly parts: readonly BookPart[];
  readonly drawings: Book['drawings'];
  readonly tall: number;
}

/** Where a pass is looked for: in books of what is shown, the whole one before the one that came with the page, then in any other. */
export function inOrder(shown: string, sent: Book, fetched: Book | undefined): readonly Book[] {
  const books = fetched ? [fetched, sent] : [sent];
  return [
    ...books.filter(({ name }) => name === shown),
    ...books.filter(({ name }) => name !== shown),
  ];
}

/** A pass of the book, from 1; undefined where it has none. */
export function leafOf(book: Book, pass: number): Leaf | undefined {
  const found = book.passes[pass - 1];
  return found && found.parts.length > 0
    ? { pass, parts: found.parts, drawings: book.drawings, tall: book.tall }
    : undefined;
}
