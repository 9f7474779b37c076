import type { Ticks } from '../../units';
import { element, escaped } from './text';

/**
 * Chord kinds by what players write after the root.
 * Source: MusicXML 4.0, kind-value, and the text of its entries.
 */
export const KINDS: Readonly<Record<string, string>> = {
  '': 'major',
  m: 'minor',
  '5': 'power',
  '6': 'major-sixth',
  '7': 'dominant',
  '9': 'dominant-ninth',
  m6: 'minor-sixth',
  m7: 'minor-seventh',
  maj7: 'major-seventh',
  sus2: 'suspended-second',
  sus4: 'suspended-fourth',
  dim: 'diminished',
  dim7: 'diminished-seventh',
  m7b5: 'half-diminished',
  aug: 'augmented',
};

function step(kind: 'root' | 'bass', name: string): string {
  const alter = name.length === 1 ? '' : element(`${kind}-alter`, name[1] === '#' ? 1 : -1);
  return `<${kind}>${element(`${kind}-step`, name[0] ?? 'C')}${alter}</${kind}>`;
}

/**
 * A chord symbol over the music. What is no chord that MusicXML has a word for keeps its text.
 * @param at ticks after the place where it is written
 */
export function harmonyXml(symbol: string, at: Ticks = 0): string {
  const offset = at === 0 ? '' : element('offset', at);
  const [, root, kind = '', bass] = /^([A-G][#b]?)([^/]*)(?:\/([A-G][#b]?))?$/.exec(symbol) ?? [];
  if (root === undefined)
    return `<harmony><root><root-step text="">C</root-step></root><kind text="${escaped(symbol)}">none</kind>${offset}</harmony>`;
  const value = KINDS[kind] ?? 'other';
  const over = bass === undefined ? '' : step('bass', bass);
  return `<harmony>${step('root', root)}<kind text="${escaped(kind)}">${value}</kind>${over}${offset}</harmony>`;
}
