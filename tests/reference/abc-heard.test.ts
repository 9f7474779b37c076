import { readFileSync } from 'node:fs';
import abcjs from 'abcjs';
import { describe, expect, it } from 'vitest';
import { DEMO_ABC } from '../../lib/demo-tune';
import { readAbc } from '../../lib/formats/abc/read';
import type { Melody, MelodyMeasure } from '../../lib/melody';

// What one pass sounds like, against abcjs 6.7.2 played out by setUpAudio. Left out is what abcjs is known to read
// otherwise than ABC 2.1: signs in other octaves, (5 in compound meters, tuplets of unequal notes, :| after ||, |::,
// the header's P:, a tie into a first ending, graces and ornaments.

type Heard = readonly [start: number, length: number, midi: number];

function playedOut({ parts, form }: Melody): readonly MelodyMeasure[] {
  const times = new Map<string, number>();
  return form.flatMap((letter) => {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    const measures = parts.find((part) => part.letter === letter)?.measures ?? [];
    return measures.filter(({ endings }) => endings === undefined || endings.includes(time));
  });
}

function heardByUs(text: string): readonly Heard[] {
  const result = readAbc(text);
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  const heard: Heard[] = [];
  let start = 0;
  for (const { notes, ticks } of playedOut(result.value.melody)) {
    for (const { at, length, midi, tied } of notes) {
      const last = heard.at(-1);
      if (tied && last) heard.splice(-1, 1, [last[0], last[1] + length, midi]);
      else heard.push([start + at, length, midi]);
    }
    start += ticks;
  }
  return heard;
}

function isNote(event: unknown): event is { start: number; duration: number; pitch: number } {
  return typeof event === 'object' && event !== null && 'cmd' in event && event.cmd === 'note';
}

function heardByAbcjs(text: string): readonly Heard[] {
  const [tune] = abcjs.parseOnly(text);
  if (!tune) throw new Error('abcjs read no tune');
  const sequence: unknown = tune.setUpAudio({ chordsOff: true });
  if (typeof sequence !== 'object' || sequence === null || !('tracks' in sequence)) return [];
  const [track] = Array.isArray(sequence.tracks) ? sequence.tracks : [];
  const events: readonly unknown[] = Array.isArray(track) ? track : [];
  return events
    .filter(isNote)
    .map((e) => [Math.round(e.start * 1920), Math.round(e.duration * 1920), e.pitch]);
}

const head = (meter: string, key: string) => `X:1\nT:Try\nM:${meter}\nL:1/8\nK:${key}\n`;

describe('the reader hears what abcjs hears', () => {
  it.each([
    ['the demo tune', DEMO_ABC],
    ['a reel with endings', readFileSync('tests/data/abc/endings.abc', 'utf8')],
    ['a jig with a pickup', readFileSync('tests/data/abc/jig.abc', 'utf8')],
    ['a waltz with ties and triplets', readFileSync('tests/data/abc/waltz.abc', 'utf8')],
    ['a polka in sixteenths', readFileSync('tests/data/abc/polka.abc', 'utf8')],
    ['modes', `${head('4/4', 'Ador')}A2c2 e2f2|g4 e4|`],
    ['K:D Phr ^f', `${head('4/4', 'D Phr ^f')}DEFG ABcd|`],
    ['octave=', `${head('4/4', 'C octave=-1')}CDEF GABc|`],
    ['transpose=', `${head('4/4', 'C transpose=2')}CDEF GABc|`],
    ['treble-8', `${head('4/4', 'C clef=treble-8')}CDEF GABc|`],
    ['a change of key', `${head('4/4', 'G')}F4 c4|[K:D]F4 c4|\nK:C\nF4 c4|`],
    ['a change of unit', `${head('4/4', 'G')}G8|[L:1/4]G4|\nL:1/16\nG16|`],
    ['(p:q:r', `${head('4/4', 'G')}(3:2:6 GABABG G4|(2AB A3 A2|(4ABAB A5|`],
    ['broken rhythm', `${head('4/4', 'G')}A>B c<d a>>b c<<d|`],
    ['Z', `${head('4/4', 'G')}G8|Z2|A8|`],
    ['lists of endings', `${head('4/4', 'G')}|:G8|[1,3A8:|[2B8:|]`],
  ])('%s', (_name, text) => {
    const ours = heardByUs(text);
    expect(ours.length).toBeGreaterThan(0);
    expect(ours).toEqual(heardByAbcjs(text));
  });
});
