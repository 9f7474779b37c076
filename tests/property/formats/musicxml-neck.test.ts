import fc from 'fast-check';
import type { XmlElement, XmlNode } from 'libxml2-wasm';
import { XmlDocument } from 'libxml2-wasm';
import { expect, test } from 'vitest';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import { anyTune } from './tunes';

/** Source: MusicXML 4.0, step: semitones above C. */
const STEPS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

function number(node: XmlNode, path: string): number {
  return Number(node.eval(`string(${path})`) || 0);
}

function pitchIn(node: XmlNode, prefix: string): number {
  const step = STEPS[String(node.eval(`string(${prefix}step)`))] ?? Number.NaN;
  return step + number(node, `${prefix}alter`) + 12 * (number(node, `${prefix}octave`) + 1);
}

// Source: MusicXML 4.0, string, fret, staff-tuning (without the capo) and capo; as any other program will compute it.
test('on every string, tuning and capo and fret make the pitch', () => {
  fc.assert(
    fc.property(anyTune, (tune) => {
      const document = XmlDocument.fromString(toMusicXml({ tune }));
      try {
        const capo = number(document.root, '//capo');
        const open = new Map(
          document
            .find('//staff-tuning')
            .map((line: XmlNode) => [
              6 - Number((line as XmlElement).attr('line')?.value),
              pitchIn(line, 'tuning-'),
            ]),
        );
        const notes = document.find("//note[staff='2'][not(rest)]");
        for (const note of notes) {
          const technical = 'notations/technical';
          const string = number(note, `${technical}/string`);
          const sounds =
            (open.get(string) ?? Number.NaN) + capo + number(note, `${technical}/fret`);
          expect(sounds).toBe(pitchIn(note, 'pitch/'));
        }
        expect(open.size).toBe(5);
      } finally {
        document.dispose();
      }
    }),
    { seed: 4, numRuns: 60 },
  );
});
