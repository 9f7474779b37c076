import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readAbc } from '../../../lib/formats/abc/read';
import { toAbc } from '../../../lib/formats/abc/write';
import { readMidi } from '../../../lib/formats/midi/read';
import { toMidi } from '../../../lib/formats/midi/write';
import { readMusicXml } from '../../../lib/formats/musicxml/read';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import { plainMelody } from '../../../lib/formats/plain-melody';
import type { Melody } from '../../../lib/melody';
import { tuneOf } from '../../../lib/structure/layout';
import type { Tune } from '../../../lib/tune';
import { chordsOf, playOrder } from '../../../lib/tune';
import type { Ticks } from '../../../lib/units';
import { anyWhim, edited, editedTune } from '../../kit/layouts';
import { heardByAbcjs } from '../../reference/formats/abcjs';
import { heardInMelody, playedOut } from './heard';
import { anyCrooked } from './tunes';

/** How many tunes are written and read; `FUZZ_RUNS=10000` for more. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 600);

/** Tunes that leaders made crooked by hand. */
const byHand = fc
  .tuple(fc.nat(3), fc.array(anyWhim, { minLength: 1, maxLength: 25 }))
  .map(([index, row]): Tune => ({ ...editedTune(index), ...tuneOf(edited(index, row)) }));

/** Tunes of any legal structure in which somebody plays the melody somewhere. */
const tunes = fc
  .oneof(byHand, anyCrooked)
  .filter((tune) => heardInMelody(plainMelody(tune)).length > 0);

/** A measure as a pass plays it: where it begins, and in its bar. */
interface Going {
  readonly at: Ticks;
  readonly startsAt: Ticks;
  readonly ticks: Ticks;
}

function goingBy(melody: Melody): readonly Going[] {
  let at = 0;
  return playedOut(melody).map(({ startsAt, ticks }) => {
    at += ticks;
    return { at: at - ticks, startsAt, ticks };
  });
}

/** Where bars begin: no measure that completes the one before it. */
function barLines(melody: Melody): readonly Ticks[] {
  const all = goingBy(melody);
  return all.flatMap(({ at, startsAt }, i) => {
    const before = all[i - 1];
    return startsAt > 0 && before && before.startsAt + before.ticks === startsAt ? [] : [at];
  });
}

/** The chords of a pass where they change. */
function chordsIn(melody: Melody): readonly (readonly [Ticks, string])[] {
  let start = 0;
  const all: [Ticks, string][] = [];
  for (const measure of playedOut(melody)) {
    for (const { at, symbol } of chordsOf(measure))
      if (/^[A-G]/.test(symbol) && all.at(-1)?.[1] !== symbol) all.push([start + at, symbol]);
    start += measure.ticks;
  }
  return all;
}

/** Where bar lines may be missing: before what completes the bar of the measure before it. */
function expectSameBars(read: Melody, written: Melody, mayJoin: boolean): void {
  const [there, own] = [goingBy(read), goingBy(written)];
  const lines = new Set(there.map(({ at }) => at));
  expect(there.filter(({ at }) => !own.some((one) => one.at === at))).toEqual([]);
  const missing = own.filter(({ at }) => !lines.has(at));
  for (const one of missing) {
    const before = own[own.indexOf(one) - 1];
    expect(mayJoin && before && before.startsAt + before.ticks).toBe(one.startsAt);
  }
  const last = (all: readonly Going[]) => (all.at(-1)?.at ?? 0) + (all.at(-1)?.ticks ?? 0);
  expect(last(there)).toBe(last(own));
}

/** Is all of every part played each time? Then signs and names say the form; else a file may have to write times out. */
function hasNoEndings({ parts }: Tune): boolean {
  return parts.every(({ measures }) => measures.every(({ endings }) => endings === undefined));
}

test('what leaders made crooked is read from our own ABC as it is played: notes, bars, chords, parts', () => {
  let told = 0;
  fc.assert(
    fc.property(tunes, (tune) => {
      const text = toAbc(tune);
      if (text.includes('[M:')) told += 1;
      const read = readAbc(text);
      if (!read.ok)
        throw new Error(`${read.problems.map(({ words }) => words).join(' ')}\n${text}`);
      const { melody } = read.value;
      const written = plainMelody(tune);
      expect(heardInMelody(melody)).toEqual(heardInMelody(written));
      expectSameBars(melody, written, true);
      expect(chordsIn(melody)).toEqual(chordsIn(written));
      for (const { startsAt, ticks } of melody.parts.flatMap((part) => part.measures))
        expect(startsAt + ticks).toBeLessThanOrEqual(tune.meter.measure);
      if (hasNoEndings(tune)) {
        // Chords like "N.C." name no chord to ABC.
        expect(read.value.remarks.filter((one) => !one.startsWith('Words above'))).toEqual([]);
        expect(melody.form).toEqual(tune.form);
      }
    }),
    { seed: 1, numRuns: RUNS },
  );
  expect(told).toBeGreaterThan(RUNS / 3);
});

/** A part three times in a row, or one that has an ending the first time only: abcjs 6.7.2 plays neither out. */
function isBeyondAbcjs(text: string): boolean {
  const endings = (number: 1 | 2) => text.split(`[${number} `).length;
  return text.includes('|::') || endings(1) !== endings(2);
}

test('abcjs hears the same notes in it', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const text = toAbc(tune);
      fc.pre(!isBeyondAbcjs(text));
      expect(heardByAbcjs(text)).toEqual(heardInMelody(plainMelody(tune)));
    }),
    { seed: 2, numRuns: 300 },
  );
});

/** What a pass plays, stroke by stroke; rests are what is left. */
function strokesIn(tune: Tune): readonly string[] {
  return playOrder(tune).flatMap(({ startTicks, measure }) =>
    measure.strokes
      .filter(({ by }) => by !== 'rest')
      .map(({ at, by, length, notes }) => JSON.stringify([startTicks + at, by, length, notes])),
  );
}

test('and from our own MusicXML as tab: strokes, measures, chords, parts', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const read = readMusicXml(toMusicXml({ tune }));
      if (!read.ok) throw new Error(read.problems.map(({ words }) => words).join(' '));
      if (read.value.kind !== 'tab') throw new Error('read as a melody');
      const { tune: tab, remarks } = read.value;
      expect(strokesIn(tab)).toEqual(strokesIn(tune));
      expectSameBars(plainMelody(tab), plainMelody(tune), false);
      expect(chordsIn(plainMelody(tab))).toEqual(chordsIn(plainMelody(tune)));
      if (hasNoEndings(tune)) {
        expect(remarks).toEqual([]);
        expect(tab.form).toEqual(tune.form);
      }
    }),
    { seed: 3, numRuns: RUNS / 3 },
  );
});

/** Are all lengths multiples of a sixty-fourth? Others no meter of a MIDI file can say. */
function isInSixtyFourths({ parts }: Tune): boolean {
  return parts.every(({ measures }) => measures.every(({ ticks }) => ticks % 30 === 0));
}

test('and from our own MIDI note by note, in the same bars', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const read = readMidi(toMidi({ tune }));
      if (!read.ok) throw new Error(read.problems.map(({ words }) => words).join(' '));
      const { melody, remarks } = read.value;
      const written = plainMelody(tune);
      const [own, heard] = [heardInMelody(written), heardInMelody(melody)];
      // A file that begins with rests is read from its first bar with notes on.
      const late = (own[0]?.[0] ?? 0) - (heard[0]?.[0] ?? 0);
      expect(heard.map(([at, length, midi]) => [at + late, length, midi])).toEqual(own);
      expect(melody.meter).toEqual(tune.meter);
      if (!isInSixtyFourths(tune)) return;
      expect(remarks.filter((one) => one.startsWith('The meter'))).toEqual([]);
      const lines = new Set(barLines(written).slice(1));
      const bars = goingBy(melody).map(({ at }) => at + late);
      expect(bars.slice(1).filter((at) => !lines.has(at))).toEqual([]);
      const last = own.at(-1) ?? [0, 0, 0];
      const inside = (at: number) => at > (bars[0] ?? 0) && at < last[0] + last[1];
      expect([...lines].filter((at) => inside(at) && !bars.includes(at))).toEqual([]);
    }),
    { seed: 4, numRuns: RUNS / 3 },
  );
});
