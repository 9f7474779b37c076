/** Whole numbers of 16 bits, or the samples as they are. */
export type WavFormat = 'pcm16' | 'float32';

export interface WavShape {
  readonly format: WavFormat;
  readonly sampleRate: number;
  readonly channels: number;
  /** Samples a channel. */
  readonly frames: number;
}

/** Format tags. Source: Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0 (1991), and mmreg.h for 3 (from memory). */
const TAGS = { pcm16: 1, float32: 3 } as const;
const BYTES = { pcm16: 2, float32: 4 } as const;
/** A RIFF chunk counts its bytes in 32 bits. */
const MOST_BYTES = 0xffff_ffff;

function dataBytes({ format, channels, frames }: WavShape): number {
  return BYTES[format] * channels * frames;
}

function headerBytes(format: WavFormat): number {
  return format === 'pcm16' ? 44 : 58;
}

/** Size of the whole file in bytes, known before anything is rendered. */
export function wavBytes(shape: WavShape): number {
  return headerBytes(shape.format) + dataBytes(shape);
}

/** Writes the fields of a header one after the other, least byte first. */
class HeaderWriter {
  readonly bytes: Uint8Array<ArrayBuffer>;
  private readonly view: DataView;
  private at = 0;

  constructor(length: number) {
    this.bytes = new Uint8Array(length);
    this.view = new DataView(this.bytes.buffer);
  }

  tag(letters: string): void {
    for (const letter of letters) {
      this.view.setUint8(this.at, letter.charCodeAt(0));
      this.at += 1;
    }
  }

  u16(value: number): void {
    this.view.setUint16(this.at, value, true);
    this.at += 2;
  }

  u32(value: number): void {
    this.view.setUint32(this.at, value, true);
    this.at += 4;
  }
}

/**
 * What stands before the samples in a WAV file: 44 bytes for whole numbers, 58 for floats, which have a longer `fmt ` and a `fact`
 * chunk.
 * @throws RangeError where the file would be larger than its own size field can say
 * Source: RIFF/WAVE as published by Microsoft and IBM (1991) with the 1994 update for formats other than PCM (from memory);
 * checked byte by byte in tests/reference/sound/wav.test.ts
 */
export function wavHeader(shape: WavShape): Uint8Array<ArrayBuffer> {
  const { format, sampleRate, channels, frames } = shape;
  const size = wavBytes(shape) - 8;
  if (!Number.isInteger(frames) || frames < 0 || size > MOST_BYTES)
    throw new RangeError(`${frames} frames do not fit a WAV file`);
  const isFloat = format === 'float32';
  const frame = BYTES[format] * channels;
  const header = new HeaderWriter(headerBytes(format));
  header.tag('RIFF');
  header.u32(size);
  header.tag('WAVE');
  header.tag('fmt ');
  header.u32(isFloat ? 18 : 16);
  header.u16(TAGS[format]);
  header.u16(channels);
  header.u32(sampleRate);
  header.u32(sampleRate * frame);
  header.u16(frame);
  header.u16(8 * BYTES[format]);
  if (isFloat) {
    header.u16(0);
    header.tag('fact');
    header.u32(4);
    header.u32(frames);
  }
  header.tag('data');
  header.u32(dataBytes(shape));
  return header.bytes;
}

/** Interleaved samples as they stand in the file. In `pcm16`, 1 is 32767; what lies beyond -1 and 1 is held there. */
export function wavSamples(samples: Float32Array, format: WavFormat): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(samples.length * BYTES[format]);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < samples.length; i += 1) {
    const sample = samples[i] ?? 0;
    if (format === 'float32') view.setFloat32(4 * i, sample, true);
    else view.setInt16(2 * i, Math.round(32767 * Math.min(1, Math.max(-1, sample))), true);
  }
  return bytes;
}

/**
 * A WAV file in pieces: the header, then each block as it comes. The caller has counted the frames before (`soundFrames`).
 * @throws RangeError after the last block if there were more or fewer frames than the header says
 */
export function* wavStream(
  shape: WavShape,
  blocks: Iterable<Float32Array>,
): Generator<Uint8Array<ArrayBuffer>> {
  yield wavHeader(shape);
  let samples = 0;
  for (const block of blocks) {
    samples += block.length;
    yield wavSamples(block, shape.format);
  }
  if (samples !== shape.frames * shape.channels)
    throw new RangeError(`${samples} samples came where ${shape.frames} frames were said`);
}
