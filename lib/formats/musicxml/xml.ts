import { SaxesParser } from 'saxes';
import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { MusicXmlProblem, XmlPlace } from './problem';
import { START } from './problem';

/** An element with its place in the text. Its text is what stands directly in it, trimmed. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly XmlElement[];
  readonly text: string;
  readonly where: XmlPlace;
}

/** Longest text that is read, in characters. A pass of 32 measures takes some 200,000 as we write it. */
export const MAX_XML = 8_000_000;
/** How deep elements may nest. MusicXML nests some ten deep. */
const MAX_DEPTH = 40;
const MAX_ELEMENTS = 400_000;
interface Open {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: XmlElement[];
  text: string;
  readonly where: XmlPlace;
}

/** Leaves the parser at the first mistake; each one after it would cost as much as the whole text. */
class Refused extends Error {
  override name = 'Refused';
  constructor(readonly problem: MusicXmlProblem) {
    super(problem.words);
  }
}

/** Builds a tree of elements, until something is wrong. */
class Tree {
  root: XmlElement | undefined;
  private readonly open: Open[] = [];
  private started: XmlPlace = START;
  private elements = 0;
  private readonly parser = new SaxesParser<{ readonly xmlns: false; readonly position: true }>({
    position: true,
    xmlns: false,
  });

  constructor() {
    const { parser } = this;
    parser.on('error', (error) => this.refuse('not-xml', notXml(error.message), this.place()));
    parser.on('opentagstart', ({ name }) => {
      const column = parser.columnIndex - name.length - 1;
      this.started = { line: parser.line, column: Math.max(1, column), element: name };
    });
    parser.on('opentag', ({ name, attributes }) => this.begin(name, attributes));
    parser.on('closetag', () => this.end());
    parser.on('text', (text) => this.take(text));
    parser.on('cdata', (text) => this.take(text));
  }

  /** @throws Refused at the first mistake */
  read(text: string): void {
    this.parser.write(text).close();
  }

  private place(): XmlPlace {
    const element = this.open.at(-1)?.name;
    const at = { line: this.parser.line, column: Math.max(1, this.parser.columnIndex) };
    return element === undefined ? at : { ...at, element };
  }

  private refuse(code: MusicXmlProblem['code'], words: string, where: XmlPlace): never {
    throw new Refused({ code, where, words });
  }

  private begin(name: string, attributes: Readonly<Record<string, string>>): void {
    this.elements += 1;
    const where = this.started;
    if (this.open.length >= MAX_DEPTH)
      this.refuse('too-deep', `Elements nest more than ${MAX_DEPTH} deep here.`, where);
    if (this.elements > MAX_ELEMENTS)
      this.refuse('too-many-elements', `The file has more than ${MAX_ELEMENTS} elements.`, where);
    const known = new Map(Object.entries(attributes));
    this.open.push({ name, attributes: known, children: [], text: '', where });
  }

  private take(text: string): void {
    const element = this.open.at(-1);
    if (element) element.text += text;
  }

  private end(): void {
    const element = this.open.pop();
    if (!element) return;
    const made = { ...element, text: element.text.trim() };
    const parent = this.open.at(-1);
    if (parent) parent.children.push(made);
    else this.root = made;
  }
}

function notXml(message: string): string {
  const what = message.replace(/^\d+:\d+:\s*/, '').replace(/\.$/, '');
  return `The XML cannot be read from here on: ${what}.`;
}

/**
 * A text as a tree of elements, or the first thing that makes it no XML. Document types are skipped and their entities unknown, nothing
 * outside the text is ever looked up.
 */
export function readXml(text: string): Result<XmlElement, MusicXmlProblem> {
  if (text.length > MAX_XML)
    return fail({
      code: 'too-long',
      where: START,
      words: `The file has ${text.length} characters. At most ${MAX_XML} are read.`,
    });
  const tree = new Tree();
  try {
    tree.read(text);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return fail(error.problem);
  }
  if (tree.root) return ok(tree.root);
  return fail({ code: 'not-xml', where: START, words: 'There is no XML in this file.' });
}

export function childOf(element: XmlElement, name: string): XmlElement | undefined {
  return element.children.find((child) => child.name === name);
}

export function childrenOf(element: XmlElement, name: string): readonly XmlElement[] {
  return element.children.filter((child) => child.name === name);
}

/** The text of the element at the end of a path of names, or undefined. */
export function textAt(element: XmlElement, ...path: readonly string[]): string | undefined {
  let here: XmlElement | undefined = element;
  for (const name of path) here = here && childOf(here, name);
  return here?.text;
}

/** A decimal number in a child's text; undefined where there is none or it is no number. */
export function numberAt(element: XmlElement, ...path: readonly string[]): number | undefined {
  const text = textAt(element, ...path);
  return text !== undefined && /^[+-]?\d{1,9}(\.\d{0,9})?$/.test(text) ? Number(text) : undefined;
}
