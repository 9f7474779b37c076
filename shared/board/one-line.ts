/** What ends a line, by whatever name. Source: Unicode 16, UAX 14, classes BK, CR, LF and NL; and the tabulator. */
const LINE_ENDS = /[\t\n\v\f\r\u0085\u2028\u2029]+/g;

/**
 * What nobody can see and what does something all the same: control characters and halves of a character (XML, MIDI and file names cannot
 * carry them), and the signs that turn the direction of all that follows, on other people's lines too. Marks that only say in which
 * direction a letter runs (U+200E, U+200F) stay. Source: Unicode 16, general categories Cc and Cs; UAX 9, sections 2.1 to 2.4.
 */
const UNSEEN = /[\p{Cc}\p{Cs}\u202A-\u202E\u2066-\u2069\uFFFE\uFFFF]/gu;

/** A text that somebody wrote as it may stand on one line of anybody's page, and in any file. */
export function inOneLine(text: string): string {
  return text.replace(LINE_ENDS, ' ').replace(UNSEEN, '');
}
