import type { Meter } from '../../rhythm';
import type { Ticks } from '../../units';
import type { Told } from '../other-meter';
import { meterStays, otherMeter } from '../other-meter';
import { meterFrom, unitFrom } from './fields';
import type { AbcKey } from './key';
import { keyFrom } from './key';
import type { Sound } from './lengths';
import { Rhythm } from './lengths';
import type { Token } from './lex';
import { Pitches } from './pitches';
import type { Findings, TextPlace } from './problem';
import { leaveOut } from './problem';
import type { AbcSource } from './source';

/** What is left of the text once lengths and pitches are worked out. Ticks of a note may be broken (tuplets). */
export type Sounded =
  | Readonly<Sound>
  | { readonly kind: 'measures-rest'; readonly count: number; readonly where: TextPlace }
  | {
      readonly kind: 'bar';
      readonly signs: string;
      readonly endings?: readonly number[];
      readonly where: TextPlace;
    }
  | { readonly kind: 'chord'; readonly name: string }
  /** From here on bars have another length than the tune's meter, or (without one) that of the meter again. */
  | { readonly kind: 'meter'; readonly told?: Told }
  | { readonly kind: 'part'; readonly name: string; readonly where: TextPlace };

type Field = Extract<Token, { kind: 'field' }>;

interface FieldState {
  readonly meter: Meter;
  readonly pitches: Pitches;
  readonly rhythm: Rhythm;
  readonly findings: Findings;
}

/** A meter inside the tune: its own again, or one of shorter bars. Source: ABC 2.1, sections 3.1.6 and 3.2 (from memory). */
function changeOfMeter(
  { value, where }: Field,
  { meter, rhythm, findings }: FieldState,
): Sounded | undefined {
  if (meterFrom(value)?.name === meter.name) {
    rhythm.changeMeter(meter.name);
    return { kind: 'meter' };
  }
  const told = otherMeter(value, meter);
  if (typeof told === 'string') {
    findings.problems.push({ code: 'meter-change', where, words: told });
    return undefined;
  }
  rhythm.changeMeter(told.name);
  return { kind: 'meter', told };
}

/** What the fields inside the tune change; what they cannot change is a problem or a remark. */
function readField(token: Field, state: FieldState): Sounded | undefined {
  const { letter, value, where } = token;
  const { findings } = state;
  if (letter === 'P') return { kind: 'part', name: value.trim(), where };
  if (letter === 'K') {
    const key = keyFrom(value);
    if (key) {
      state.pitches.changeKey(key);
      leaveOut(
        findings,
        'The key changes inside the tune; the notes follow it, but the board names the first key only',
      );
    } else
      findings.problems.push({
        code: 'bad-key',
        where,
        words: `"${value.slice(0, 20)}" names no key. Write K:G or K:Ador.`,
      });
  } else if (letter === 'L') {
    const unit = unitFrom(value);
    if (unit !== undefined) state.rhythm.changeUnit(unit);
    else
      findings.problems.push({
        code: 'bad-unit',
        where,
        words: `"${value.slice(0, 20)}" is no unit length. Write L:1/8.`,
      });
  } else if (letter === 'M') {
    return changeOfMeter(token, state);
  } else if (letter === 'Q') {
    leaveOut(findings, 'A change of tempo inside the tune was left out');
  } else if (letter === 'm' || letter === 'U') {
    leaveOut(findings, `The field ${letter}: was left out, and what it stands for with it`);
  } else if (/[Is]/.test(letter)) {
    leaveOut(findings, `The field ${letter}: was left out`);
  }
  return undefined;
}

/**
 * Notes with pitch and length, between bar lines, from a voice's tokens. A meter that changes inside the tune has to come back.
 * Source: ABC 2.1, sections 4.2 (signs), 4.3 (lengths), 4.4 (broken rhythm), 4.13 (tuplets).
 */
export function soundedFrom(
  tokens: readonly Token[],
  setting: {
    readonly meter: Meter;
    readonly unit: Ticks;
    readonly key: AbcKey;
    readonly shift: number;
  },
  propagate: AbcSource['propagate'],
  findings: Findings,
): readonly Sounded[] {
  const pitches = new Pitches(setting.key, setting.shift, propagate);
  const rhythm = new Rhythm(setting.unit, setting.meter, findings);
  const state = { meter: setting.meter, pitches, rhythm, findings };
  const sounded: Sounded[] = [];
  let away: Field | undefined;
  for (const token of tokens) {
    if (token.kind === 'note') sounded.push(rhythm.sound(token, pitches.highest(token)));
    else if (token.kind === 'broken') rhythm.breakRhythm(token.signs, token.where);
    else if (token.kind === 'tuplet') rhythm.startTuplet(token);
    else if (token.kind === 'field') {
      const read = readField(token, state);
      if (read) sounded.push(read);
      if (read?.kind === 'meter') away = read.told && token;
    } else {
      if (token.kind === 'bar' && token.signs !== '') {
        pitches.barLine();
        rhythm.barLine();
      }
      sounded.push(token);
    }
  }
  rhythm.endBroken();
  rhythm.endTuplet();
  if (away) {
    const { value, where } = away;
    findings.problems.push({
      code: 'meter-change',
      where,
      words: meterStays(value, setting.meter),
    });
  }
  return sounded;
}
