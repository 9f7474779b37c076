import { fileURLToPath } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import { build } from 'vite';
import { describe, expect, test } from 'vitest';
import { renderSound } from '../../../lib/sound/render';
import { bar } from '../../kit/tab';
import { RATE, sameBits } from './measuring';
import { openG } from './open-g';

const SOURCE = {
  measures: [bar('4/4', 's3.2 l3.4 b123 t5 | s1.2 p1 x1234 t5')],
  neck: openG(),
  tempo: 110,
  swing: 0.6,
  click: true,
  leadIn: { kind: 'count' },
} as const;

/** The renderer as one script. */
async function script(): Promise<string> {
  const built = await build({
    configFile: false,
    logLevel: 'silent',
    build: {
      write: false,
      minify: false,
      lib: {
        entry: fileURLToPath(new URL('../../../lib/sound/render.ts', import.meta.url)),
        formats: ['iife'],
        name: 'sound',
      },
    },
  });
  const [bundle] = Array.isArray(built) ? built : [built];
  if (!bundle || !('output' in bundle)) throw new RangeError('nothing was built');
  return bundle.output[0].code;
}

describe('an engine with the language alone, as an audio thread may be', () => {
  test('renders the same bits, without time of day, text encoder or chance', async () => {
    const context = createContext({});
    runInContext('delete globalThis.Date; delete globalThis.console; delete Math.random;', context);
    runInContext(await script(), context);
    context.source = SOURCE;
    const render = `Array.from(sound.renderSound(source, { sampleRate: ${RATE}, channels: 1 }))`;
    const samples: unknown = runInContext(render, context);
    expect(
      runInContext('[typeof Date, typeof TextEncoder, typeof performance].join()', context),
    ).toBe('undefined,undefined,undefined');
    const there = Float32Array.from(Array.isArray(samples) ? samples : []);
    expect(sameBits(there, renderSound(SOURCE, { sampleRate: RATE, channels: 1 }))).toBe(true);
  });
});
