import { describe, expect, test } from 'vitest';
import { wavBytes, wavHeader, wavSamples, wavStream } from '../../../lib/sound/wav';

function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
}

/** The chunks of a RIFF file as a reader walks them: four letters, size, that many bytes and a byte to the next even place. */
function chunksOf(bytes: Uint8Array): ReadonlyMap<string, DataView> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const letters = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  expect(letters(0)).toBe('RIFF');
  expect(view.getUint32(4, true)).toBe(bytes.length - 8);
  expect(letters(8)).toBe('WAVE');
  const chunks = new Map<string, DataView>();
  for (let at = 12; at < bytes.length; ) {
    const size = view.getUint32(at + 4, true);
    chunks.set(letters(at), new DataView(bytes.buffer, bytes.byteOffset + at + 8, size));
    at += 8 + size + (size % 2);
  }
  return chunks;
}

function whole(pieces: Iterable<Uint8Array>): Uint8Array {
  return Uint8Array.from([...pieces].flatMap((piece) => [...piece]));
}

// RIFF/WAVE as published by Microsoft and IBM (1991) and its 1994 update; the layout from memory.
describe('a WAV header', () => {
  test('of CD stereo is the published 44 bytes', () => {
    const shape = { format: 'pcm16', sampleRate: 44_100, channels: 2, frames: 1000 } as const;
    expect(hex(wavHeader(shape))).toBe(
      [
        '52 49 46 46 c4 0f 00 00 57 41 56 45', // RIFF, 36 + 4000, WAVE
        '66 6d 74 20 10 00 00 00', // fmt , 16
        '01 00 02 00 44 ac 00 00 10 b1 02 00 04 00 10 00', // PCM, 2, 44100, 176400, 4, 16
        '64 61 74 61 a0 0f 00 00', // data, 4000
      ].join(' '),
    );
  });

  test('of floats has an empty extension and a fact chunk', () => {
    const shape = { format: 'float32', sampleRate: 48_000, channels: 1, frames: 5 } as const;
    const chunks = chunksOf(whole(wavStream(shape, [new Float32Array(5)])));
    expect([...chunks.keys()]).toEqual(['fmt ', 'fact', 'data']);
    const fmt = chunks.get('fmt ');
    expect(fmt?.byteLength).toBe(18);
    expect(fmt?.getUint16(0, true)).toBe(3);
    expect(fmt?.getUint32(8, true)).toBe(192_000);
    expect(fmt?.getUint16(14, true)).toBe(32);
    expect(chunks.get('fact')?.getUint32(0, true)).toBe(5);
    expect(chunks.get('data')?.byteLength).toBe(20);
  });

  test('cannot say more than 32 bits of size', () => {
    const shape = { format: 'pcm16', sampleRate: 48_000, channels: 2 } as const;
    expect(() => wavHeader({ ...shape, frames: 2 ** 30 })).toThrow(RangeError);
    expect(() => wavHeader({ ...shape, frames: 1.5 })).toThrow(RangeError);
    expect(wavHeader({ ...shape, frames: 2 ** 30 - 10 })).toHaveLength(44);
  });
});

describe('WAV samples', () => {
  test('of 16 bits are whole numbers, least byte first, held at full scale', () => {
    const bytes = wavSamples(Float32Array.of(0, 1, -1, 0.5, 2, -3, 1 / 32767), 'pcm16');
    const view = new DataView(bytes.buffer);
    const read = Array.from({ length: 7 }, (_, i) => view.getInt16(2 * i, true));
    expect(read).toEqual([0, 32767, -32767, 16384, 32767, -32767, 1]);
  });

  test('of 32 bits are the samples themselves', () => {
    const samples = Float32Array.of(0.1, -0.7, 1e-9);
    const view = new DataView(wavSamples(samples, 'float32').buffer);
    expect(Array.from(samples, (_, i) => view.getFloat32(4 * i, true))).toEqual([...samples]);
  });
});

describe('a WAV stream', () => {
  const shape = { format: 'pcm16', sampleRate: 48_000, channels: 2, frames: 4 } as const;

  test('is as long as it was said to be', () => {
    const bytes = whole(wavStream(shape, [new Float32Array(6), new Float32Array(2)]));
    expect(bytes).toHaveLength(wavBytes(shape));
    expect(chunksOf(bytes).get('data')?.byteLength).toBe(16);
  });

  test('gives its header before the first block is asked for', () => {
    let asked = 0;
    function* blocks(): Generator<Float32Array> {
      asked += 1;
      yield new Float32Array(8);
    }
    const pieces = wavStream(shape, blocks());
    expect(pieces.next().value).toHaveLength(44);
    expect(asked).toBe(0);
    expect(pieces.next().value).toHaveLength(16);
  });

  test.each([3, 5])('of %i frames where 4 were said is refused', (frames) =>
    expect(() => whole(wavStream(shape, [new Float32Array(2 * frames)]))).toThrow(RangeError),
  );
});
