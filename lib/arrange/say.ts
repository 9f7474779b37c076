import type { Melody } from '../melody';
import type { Meter } from '../rhythm';
import { writtenTuning } from '../tuning';
import type { Semitones } from '../units';
import type { Moment } from './moments';
import { measuresOf, momentsOf } from './moments';
import type { Setting } from './necks';
import { transposedKey } from './necks';
import type { Path, Played } from './path';

/** Most notes that are named one by one; the rest are counted. */
const MAX_NAMED = 8;

const COUNTS = [
  'none',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
];

function count(n: number): string {
  return COUNTS[n] ?? String(n);
}

function slotWords(meter: Meter, startsAt: number, at: number): string {
  const slot = (startsAt + at) / meter.slot + 1;
  return Number.isInteger(slot) ? `on slot ${slot}` : `just after slot ${Math.floor(slot)}`;
}

/** "gDGBD, open G", or "aEAC#E, open G with a capo at 2". */
function neckWords({ neck }: Pick<Setting, 'neck'>): string {
  const capo = neck.capo === 0 ? '' : ` with a capo at ${neck.capo}`;
  return `${writtenTuning(neck)}, ${neck.tuning.name}${capo}`;
}

function transposeWords(melody: Melody, transpose: Semitones): string {
  if (transpose === 0) return 'at the written pitch';
  const octaves = Math.abs(transpose) / 12;
  const way = transpose > 0 ? 'up' : 'down';
  if (Number.isInteger(octaves))
    return octaves === 1 ? `an octave ${way}` : `${count(octaves)} octaves ${way}`;
  return `in ${transposedKey(melody.key, transpose).tonic} instead of ${melody.key.tonic}`;
}

/** What speaks for a setting: how high the notes lie, how many strings are open, how many notes are kept. */
export function settingWords(melody: Melody, setting: Setting): string {
  const played = setting.path.steps.filter((step): step is Played => step !== undefined);
  const highest = Math.max(0, ...played.map(({ fret }) => fret));
  const open = played.filter(({ fret }) => fret === 0).length;
  const lost = setting.path.steps.length - played.length;
  const notes = lost === 0 ? 'all notes' : `all notes but ${count(lost)}`;
  const where = highest === 0 ? 'on open strings' : `within the first ${count(highest)} frets`;
  const opens = highest === 0 ? '' : `, ${count(open)} of them open`;
  return `${neckWords(setting)}, ${transposeWords(melody, setting.transpose)}: ${notes} ${where}${opens}`;
}

/** Why a neck cannot carry the melody, and what to try instead. */
export function rangeWords(
  missing: readonly Moment[],
  of: number,
  instead: string | undefined,
): string {
  const many = missing.length === 1 ? 'One note lies' : `${missing.length} of ${of} notes lie`;
  const help = instead === undefined ? 'Try another octave, tuning or capo.' : `Try ${instead}.`;
  return `${many} outside this neck at this pitch. ${help}`;
}

function lossReason(moment: Moment): string {
  const hand = moment.spots[0]?.hand;
  if (hand === 'between')
    return 'it falls between two motions of the hand and its string does not ring yet';
  return 'the hand comes up there and neither the thumb nor the fretting hand can reach it';
}

/** One sentence for each measure of which only the skeleton stays. */
function skeletonWords(melody: Melody): readonly string[] {
  const counts = new Map<number, number>();
  for (const { measure, spots } of momentsOf(melody))
    if (spots.length === 0) counts.set(measure, (counts.get(measure) ?? 0) + 1);
  return [...counts].map(
    ([measure, lost]) =>
      `Measure m${measure + 1} has more notes than a bum-ditty takes, so only its skeleton stays: ${count(lost)} that ${lost === 1 ? 'falls' : 'fall'} between its slots ${lost === 1 ? 'is' : 'are'} left out.`,
  );
}

/** One sentence for each note that was moved or left out, and for pickups that the thumb begins. */
export function remarksOn(melody: Melody, path: Path): readonly string[] {
  const { meter } = melody;
  const measures = measuresOf(melody);
  const said: string[] = [...skeletonWords(melody)];
  for (const [i, moment] of momentsOf(melody).entries()) {
    const step = path.steps[i];
    const startsAt = measures[moment.measure]?.startsAt ?? 0;
    const where = slotWords(meter, startsAt, moment.at);
    const name = `Measure m${moment.measure + 1}`;
    if (moment.spots.length === 0) continue;
    if (!step) said.push(`${name}: the note ${where} is left out, because ${lossReason(moment)}.`);
    else if (step.moved)
      said.push(
        `${name}: the note ${where} is played ${slotWords(meter, startsAt, step.at)} instead.`,
      );
    else if (startsAt > 0 && step.at === 0 && step.by === 'thumb')
      said.push(`${name}: the pickup begins where the hand comes up, so the thumb plays it.`);
  }
  const rest = said.length - MAX_NAMED;
  return rest > 0 ? [...said.slice(0, MAX_NAMED), `And ${rest} more like these.`] : said;
}
