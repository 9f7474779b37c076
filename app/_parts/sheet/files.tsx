import { exportPath } from '../../../shared/board/paths';

/** What a board can be taken away as, and what each is good for. */
const FILES: readonly (readonly [query: string, name: string, words: string])[] = [
  ['musicxml', 'MusicXML', 'tab and notes, pass after pass, for programs that print music'],
  ['midi', 'MIDI', 'the melody and each pass as tracks, to be heard'],
  ['abc', 'ABC', 'the plain melody as text'],
  ['json', 'the whole board', 'a copy with variants and votes, which starts a new board elsewhere'],
  ['json?holds=music', 'the music alone', 'the same without people and votes'],
];

/** The board as files for other programs, to take away. Not printed. */
export function Files({ board }: { readonly board: string }) {
  return (
    <details className="sheet-wishes sheet">
      <summary className="cursor-pointer font-bold">Take it away as a file</summary>
      <ul className="mt-2 grid gap-2">
        {FILES.map(([query, name, words]) => (
          <li key={query} className="flex flex-wrap items-center gap-x-3">
            <a className="button button-quiet" href={exportPath(board, query)} download>
              {name}
            </a>
            <span>{words}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}
