import type { Mode } from '../../harmony';
import type { Melody, MelodyMeasure } from '../../melody';
import type { MelodySound } from '../../melody-edit';
import { soundsOf } from '../../melody-edit';
import type { Meter } from '../../rhythm';
import type { Tune } from '../../tune';
import type { Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import type { BarredMeasure } from '../bars';
import { barred, meterChanges } from '../bars';
import type { WrittenMeasure } from '../fold';
import { writtenMeasures } from '../fold';
import { plainMelody } from '../plain-melody';
import type { Spelled } from '../spelling';
import { keyFromSignature, signatureAlter, signatureOf, spelled } from '../spelling';
import { defaultUnit } from './fields';

/** Source: ABC 2.1, section 3.1.14. */
const MODES: Readonly<Record<Mode, string>> = {
  major: '',
  mixolydian: 'mix',
  dorian: 'dor',
  minor: 'm',
  phrygian: 'phr',
  lydian: 'lyd',
  locrian: 'loc',
};
/** Source: ABC 2.1, section 4.2. */
const SIGNS: Readonly<Record<number, string>> = { '-2': '__', '-1': '_', 0: '=', 1: '^', 2: '^^' };

const MEASURES_A_LINE = 4;
const WHOLE: Ticks = 4 * TICKS_PER_QUARTER;

/** `3/2`, `/4`, `2` or nothing: a length in units. */
function lengthText(length: Ticks, unit: Ticks): string {
  let [a, b] = [length, unit];
  while (b > 0) [a, b] = [b, a % b];
  const [above, below] = [length / a, unit / a];
  return `${above === 1 ? '' : above}${below === 1 ? '' : `/${below}`}`;
}

/**
 * Notes of one measure after the other. A letter that carried a sign in a measure carries one on every later note of that measure, so that
 * it does not matter whether signs hold in one octave or in all (the standard says all, many readers one; ABC 2.1, section 11.3).
 */
class Line {
  private signed = new Set<string>();

  constructor(
    private readonly fifths: number,
    private readonly unit: Ticks,
    private readonly meter: Meter,
  ) {}

  private pitch({ letter, alter, octave }: Spelled): string {
    const plain = signatureAlter(letter, this.fifths) === alter && !this.signed.has(letter);
    if (!plain) this.signed.add(letter);
    const sign = plain ? '' : (SIGNS[alter] ?? '');
    const name = octave > 4 ? letter.toLowerCase() : letter;
    return `${sign}${name}${octave > 4 ? "'".repeat(octave - 5) : ','.repeat(4 - octave)}`;
  }

  private sound({ midi, length, ties, symbol }: Written, times: number): string {
    const name = midi === undefined ? 'z' : this.pitch(spelled(midi, this.fifths));
    return `${chordText(symbol)}${name}${lengthText(length * times, this.unit)}${ties ? '-' : ''}`;
  }

  /** @param goesOn it stands in one bar with the measure before it, whose signs still hold */
  measure(measure: MelodyMeasure, goesOn: boolean): string {
    if (!goesOn) this.signed = new Set();
    const sounds = writtenSounds(measure);
    let text = '';
    for (let i = 0; i < sounds.length; i++) {
      const three = sounds.slice(i, i + 3);
      const before = sounds[i - 1];
      const sound = sounds[i];
      if (!sound) continue;
      text += before && this.isBeamed(before, sound, measure.startsAt) ? '' : i === 0 ? '' : ' ';
      if (isTriplet(three)) {
        text += `(3${three.map((one) => this.sound(one, 1.5)).join('')}`;
        i += 2;
      } else text += this.sound(sound, 1);
    }
    return text;
  }

  private isBeamed(a: MelodySound, b: MelodySound, startsAt: Ticks): boolean {
    const beat = ({ at }: MelodySound) => Math.floor((startsAt + at) / this.meter.beat);
    const short = a.length < TICKS_PER_QUARTER && b.length < TICKS_PER_QUARTER;
    return short && beat(a) === beat(b);
  }
}

/** A note or rest as it is written: with the chord that changes with it, and tied to the next where a chord changes while it sounds. */
interface Written extends MelodySound {
  readonly symbol?: string;
  readonly ties?: boolean;
}

function writtenSounds(measure: MelodyMeasure): readonly Written[] {
  const changes = measure.chords ?? [];
  return soundsOf(measure).flatMap((sound): readonly Written[] => {
    const end = sound.at + sound.length;
    const inside = changes.filter(({ at }) => at >= sound.at && at < end);
    const cuts = [...new Set([sound.at, ...inside.map(({ at }) => at)])];
    return cuts.map((at, i): Written => {
      const symbol = inside.find((change) => change.at === at)?.symbol;
      const next = cuts[i + 1];
      return {
        ...sound,
        at,
        length: (next ?? end) - at,
        ...(symbol === undefined ? {} : { symbol }),
        ...(next === undefined || sound.midi === undefined ? {} : { ties: true }),
      };
    });
  });
}

/** Three of one length in the time of two that have a sign of their own? */
function isTriplet(three: readonly MelodySound[]): boolean {
  const length = three[0]?.length ?? 0;
  const straight = length * 1.5;
  return (
    three.length === 3 &&
    three.every((one) => one.length === length) &&
    Number.isInteger(straight) &&
    WHOLE % straight === 0 &&
    WHOLE % length !== 0
  );
}

function headOf(melody: Melody, title: string, unit: Ticks, fifths: number): readonly string[] {
  const { meter, key, tempo } = melody;
  const { tonic } = keyFromSignature(fifths, key.mode);
  const name = title.replace(/\s+/g, ' ').replaceAll('%', '\\%').trim();
  const beat = lengthFraction(meter.beat);
  return [
    'X:1',
    `T:${name}`,
    `M:${meter.name}`,
    `L:${lengthFraction(unit)}`,
    ...(tempo === undefined ? [] : [`Q:${beat}=${Number(tempo.toFixed(3))}`]),
    `K:${tonic}${MODES[key.mode]}`,
  ];
}

/** A length as a part of a whole note: "1/8", "3/8". */
function lengthFraction(ticks: Ticks): string {
  const text = lengthText(ticks, WHOLE);
  return text.startsWith('/') ? `1${text}` : text;
}

function barAfter({ row }: BarredMeasure, after: BarredMeasure | undefined): string {
  const { closes, double } = row;
  const next = after?.row;
  if (after?.goesOn) return '';
  if (closes > 0) return ` ${':'.repeat(closes - 1)}|`;
  if (next?.opens && next.part === undefined) return '';
  return next === undefined ? ' |]' : double ? ' ||' : ' |';
}

/** `|:` for a repeat that is played twice, `|::` for one more. */
function barBefore(rows: readonly WrittenMeasure[], index: number): string {
  const row = rows[index];
  if (row?.ending) return `[${row.ending.join(',')} `;
  if (!row?.opens) return '';
  const times = rows.slice(index).find(({ closes }) => closes > 0)?.closes ?? 2;
  return `|${':'.repeat(times - 1)} `;
}

function chordText(symbol: string | undefined): string {
  return symbol === undefined ? '' : `"${symbol.replaceAll('"', '')}"`;
}

function bodyOf(tune: Tune, melody: Melody, line: Line): readonly string[] {
  const notes = new Map(
    tune.parts.flatMap(({ measures }, p) =>
      measures.map(({ id }, m) => [id, melody.parts[p]?.measures[m]] as const),
    ),
  );
  const rows = writtenMeasures(tune);
  const measures = barred(rows, tune.meter);
  const meters = meterChanges(measures, tune.meter).map((change) =>
    change ? `[M:${change.beats}/${change.unit}]` : '',
  );
  const named = rows.some(({ part }) => part !== undefined && part !== 'A');
  const lines: string[] = [];
  let onLine = 0;
  for (const [i, one] of measures.entries()) {
    const { row, goesOn } = one;
    if (row.part !== undefined && named) lines.push(`P:${row.part}`);
    if (row.part !== undefined || onLine === MEASURES_A_LINE) {
      lines.push('');
      onLine = 0;
    }
    const measure = notes.get(row.measure.id);
    const music = measure ? line.measure(measure, goesOn) : '';
    const text = `${barBefore(rows, i)}${meters[i]}${chordText(row.measure.chord)}${music}${barAfter(one, measures[i + 1])}`;
    lines[lines.length - 1] = `${lines.at(-1) ?? ''} ${text}`.trim();
    onLine += 1;
  }
  const back = meters.at(-1);
  if (back) lines[lines.length - 1] = `${lines.at(-1)} ${back}`;
  return lines;
}

/**
 * The melody of the plain tune as ABC 2.1, at sounding pitch, with chords, repeats, endings and the letters of its parts. A bar of another
 * length than the meter's stands under a meter of its own ([M:5/8]), and the tune's comes back after it. `readAbc` reads the same notes back.
 * @param title absent: the tune's own
 * Source: ABC 2.1 (abcnotation.com, December 2011).
 */
export function toAbc(tune: Tune, title: string = tune.title): string {
  const melody = plainMelody(tune);
  const fifths = signatureOf(tune.key);
  const unit = defaultUnit(tune.meter);
  const head = headOf(melody, title, unit, fifths);
  return `${[...head, ...bodyOf(tune, melody, new Line(fifths, unit, tune.meter))].join('\n')}\n`;
}
