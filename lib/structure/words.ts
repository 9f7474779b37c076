import type { MeasureId } from '../units';
import { assertNever } from '../units';
import type { Restructured, StructureChange } from './change';
import type { Layout } from './layout';
import { find, measureName, partsOf } from './layout';

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

function timesWords(times: readonly number[]): string {
  return times.length === 1 ? `time ${times[0]}` : `times ${listed(times.map(String))}`;
}

/** What a change did, in a sentence without its capital. */
function deed(change: StructureChange, before: Layout, after: Layout): string {
  switch (change.kind) {
    case 'add':
      return `${measureName(after, change.id)} is new: open it and write what is played`;
    case 'remove':
      return `${measureName(before, change.measure)} is out of the tune`;
    case 'put-back':
      return `${measureName(after, change.measure)} is back in the tune`;
    case 'split':
      return `${measureName(before, change.measure)} is two measures now`;
    case 'join':
      return `${measureName(before, change.measure)} and the one after it are one measure now`;
    case 'length':
      return `${measureName(before, change.measure)} has another length now`;
    case 'move':
      return `what was ${measureName(before, change.measure)} is ${measureName(after, change.measure)} now`;
    case 'times': {
      const { endings } = find(after, change.measure)?.entry.measure ?? {};
      const when = endings ? `at ${timesWords(endings)} through its part only` : 'every time';
      return `${measureName(after, change.measure)} is played ${when}`;
    }
    case 'chord': {
      const symbol = change.symbol.trim();
      const name = measureName(after, change.measure);
      return symbol === '' ? `${name} has one chord less` : `${name} has the chord ${symbol}`;
    }
    case 'endings':
      return `from ${measureName(after, change.measure)} on the part ends in two ways; the second one is a copy to be changed`;
    case 'pickup':
      return `part ${change.part} begins with a pickup: open it and write what is played`;
    case 'no-pickup':
      return `part ${change.part} begins on the beat`;
    case 'cut-part': {
      const letter = find(after, change.measure)?.part.letter ?? '';
      return `part ${letter} begins with ${measureName(after, change.measure)}; a pass plays the same as before`;
    }
    case 'join-parts':
      return `part ${change.part} and the one after it are one part; a pass plays the same as before`;
    case 'rename-part':
      return `part ${change.part} is called ${change.to} now`;
    case 'add-part':
      return `part ${find(after, change.id)?.part.letter ?? ''} is new and is played at the end`;
    case 'remove-part':
      return `part ${change.part} is out of the tune`;
    case 'order':
      return `a pass plays ${after.form.join(' ')}`;
    default:
      return assertNever(change);
  }
}

/**
 * What a change did to the tune and to the variants of measures that went or came, in words.
 * @param variantsOf how many variants a measure has
 */
export function changeWords(
  change: StructureChange,
  before: Layout,
  { layout, laidAside, cameBack }: Restructured,
  variantsOf: (measure: MeasureId) => number,
): string {
  const waiting = (ids: readonly MeasureId[]) => ids.reduce((sum, id) => sum + variantsOf(id), 0);
  const many = (n: number) => (n === 1 ? '1 variant' : `${n} variants`);
  const [away, home] = [waiting(laidAside), waiting(cameBack)];
  const letterOf = (one: Layout, id: MeasureId) => find(one, id)?.part.letter;
  const last = partsOf(layout).at(-1)?.measures.at(-1)?.id;
  const moved =
    change.kind === 'cut-part' &&
    last !== undefined &&
    letterOf(before, last) !== find(before, change.measure)?.part.letter &&
    letterOf(before, last) !== letterOf(layout, last);
  const text = [
    `${deed(change, before, layout)}.`,
    away > 0 &&
      `${many(away)} of ${listed(laidAside.map((id) => measureName(before, id)))} ${away === 1 ? 'waits' : 'wait'} aside and ${away === 1 ? 'comes' : 'come'} back with ${laidAside.length === 1 ? 'it' : 'them'}.`,
    home > 0 && `${many(home)} came back too.`,
    moved && 'The parts after it have the next letters.',
  ]
    .filter((one) => one !== false)
    .join(' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}
