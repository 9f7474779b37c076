import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { readMusicXml } from '../../../lib/formats/musicxml/read';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import { plainMelody } from '../../../lib/formats/plain-melody';
import { keyFromSignature, signatureOf } from '../../../lib/formats/spelling';
import { melodyMarks } from '../../../lib/melody-marks';
import type { Stroke } from '../../../lib/tab/measure';
import type { PlainMeasure, Tune } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { heardInMelody } from './heard';
import { anyTune } from './tunes';

/** Rests that follow each other as one: a score does not tell two rests from a longer one. */
function restsJoined(strokes: readonly Stroke[]): readonly Stroke[] {
  const joined: Stroke[] = [];
  for (const stroke of strokes) {
    const last = joined.at(-1);
    if (last?.by === 'rest' && stroke.by === 'rest')
      joined[joined.length - 1] = { ...last, length: last.length + stroke.length };
    else joined.push(stroke);
  }
  return joined;
}

/** What MusicXML holds of a tune: ids are by place, melody marks by rule, keys in at most seven signs. */
function held(tune: Tune): Tune {
  let number = 0;
  const measure = (plain: PlainMeasure) => {
    number += 1;
    const { startsAt, ticks } = plain;
    const strokes = restsJoined(plain.strokes);
    const melody = melodyMarks({ meter: tune.meter, startsAt, ticks, strokes });
    return { ...plain, id: `m${number}` as MeasureId, strokes, melody };
  };
  const key = keyFromSignature(signatureOf(tune.key), tune.key.mode);
  const parts = tune.parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map(measure),
  }));
  return { ...tune, key, parts };
}

/** Tunes in which something sounds. */
const tunes = anyTune.filter((tune) =>
  tune.parts.some(({ measures }) =>
    measures.some(({ strokes }) => strokes.some(({ notes }) => notes.length > 0)),
  ),
);

test('our own tab comes back as it was: strokes, neck, form, endings, chords, tempo, key, title', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const read = readMusicXml(toMusicXml({ tune }));
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      if (read.value.kind !== 'tab') throw new Error('read as a melody');
      expect(read.value.remarks).toEqual([]);
      expect(read.value.tune.tempo).toBeCloseTo(tune.tempo, 4);
      expect({ ...read.value.tune, tempo: tune.tempo }).toEqual(held(tune));
    }),
    { seed: 1, numRuns: 300 },
  );
});

test('a compressed file reads as its score does, whatever order its files are in', () => {
  fc.assert(
    fc.property(tunes, fc.boolean(), (tune, containerFirst) => {
      const xml = toMusicXml({ tune });
      const container = strToU8(
        '<container><rootfiles><rootfile full-path="a/score.xml"/></rootfiles></container>',
      );
      const score = { 'a/score.xml': strToU8(xml) };
      const files = containerFirst
        ? { 'META-INF/container.xml': container, ...score }
        : { ...score, 'META-INF/container.xml': container };
      expect(readMusicXml(zipSync(files))).toEqual(readMusicXml(xml));
    }),
    { seed: 1, numRuns: 20 },
  );
});

test('the notation staff alone is a melody that sounds its highest notes', () => {
  fc.assert(
    fc.property(tunes, (tune) => {
      const xml = toMusicXml({ tune }).replace(
        /<note>(?:(?!<\/note>).)*<staff>2<\/staff>(?:(?!<\/note>).)*<\/note>/g,
        '',
      );
      const read = readMusicXml(xml);
      if (!read.ok || read.value.kind !== 'melody') throw new Error('no melody');
      const { melody } = read.value;
      expect(melody.form).toEqual(tune.form);
      const struck = heardInMelody(plainMelody(tune)).length;
      expect(heardInMelody(melody).length).toBeGreaterThanOrEqual(struck);
      const tops = tune.parts.flatMap(({ measures }) =>
        measures.map(({ strokes }) => strokes.filter(({ notes }) => notes.length > 0).length),
      );
      expect(
        melody.parts.flatMap(({ measures }) => measures.map(({ notes }) => notes.length)),
      ).toEqual(tops);
    }),
    { seed: 3, numRuns: 100 },
  );
});
