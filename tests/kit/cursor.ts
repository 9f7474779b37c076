/** A place in a text that is read from left to right, for tests only. What is not as expected throws a RangeError with the place. */
export class Cursor {
  #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  atEnd(): boolean {
    return this.#at === this.#text.length;
  }

  sees(words: string): boolean {
    return this.#text.startsWith(words, this.#at);
  }

  /** Goes past the words if they stand here. */
  has(words: string): boolean {
    const found = this.sees(words);
    if (found) this.#at += words.length;
    return found;
  }

  expect(words: string): void {
    if (!this.has(words)) throw this.trouble(`"${words}" expected`);
  }

  /** Goes past what a sticky pattern matches here, if it does. */
  match(pattern: RegExp): RegExpExecArray | undefined {
    pattern.lastIndex = this.#at;
    const found = pattern.exec(this.#text);
    if (!found) return undefined;
    this.#at += found[0].length;
    return found;
  }

  take(pattern: RegExp): string {
    const found = this.match(pattern);
    if (!found) throw this.trouble(`${pattern.source} expected`);
    return found[0];
  }

  /** A sentence begins here: its capital is read as a small letter from now on. */
  lowerNext(): void {
    const letter = this.#text.charAt(this.#at);
    if (!/[A-Z]/.test(letter)) throw this.trouble('a sentence begins with a capital');
    this.#text = `${this.#text.slice(0, this.#at)}${letter.toLowerCase()}${this.#text.slice(this.#at + 1)}`;
  }

  trouble(what: string): RangeError {
    return new RangeError(`${what} at ${this.#at}: "${this.#text.slice(this.#at)}"`);
  }
}
