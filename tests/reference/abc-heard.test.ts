import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DEMO_ABC } from '../../lib/demo-tune';
import { heardByUs } from '../kit/heard';
import { heardByAbcjs } from './formats/abcjs';

// What one pass sounds like, against abcjs 6.7.2 played out by setUpAudio. Left out is what abcjs is known to read
// otherwise than ABC 2.1: signs in other octaves, (5 in compound meters, tuplets of unequal notes, :| after ||, |::,
// the header's P:, a tie into a first ending, graces and ornaments.

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
