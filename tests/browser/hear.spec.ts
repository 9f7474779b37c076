import type { Page } from '@playwright/test';
import { WORKLET_PATH } from '../../app/_islands/sound/messages';
import { DEFAULT_MIX } from '../../lib/sound/banjo';
import type { SoundEvent } from '../../lib/sound/event';
import { renderSound } from '../../lib/sound/render';
import { scoreOf } from '../../lib/sound/score';
import { measureOf } from '../../lib/tune';
import type { BoardId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import { readBoard } from '../../shared/board/read';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

// These measure time on a machine that others may be using: what fails is measured again, twice at most, before it counts.
test.describe.configure({ retries: 2 });

let program: Program;
let demo: Links;
test.beforeAll(async () => {
  program = await startProgram();
  demo = await demoBoard(program);
});
test.afterAll(async () => {
  await program.end();
});

const read = readBoard('demoboard001' as BoardId, demoDocuments());
if (!read) throw new Error('no demo board');
/** The tune of every demo board. */
const { tune } = read;

/** What a test notes down in the page. Times are seconds of the audio context. */
interface Noted {
  /** Events that the page gave the audio thread. */
  readonly events: SoundEvent[];
  readonly marks: {
    readonly picture: string;
    readonly stroke: string;
    readonly heard: number;
    /** How long the browser had drawn nothing, in ms: a mark can be no earlier than the frame that it is drawn with. */
    readonly gap: number;
  }[];
}

/**
 * Notes what is given to the audio thread, and when marks move. The time of a mark is looked up here and not by the program: the
 * context's clock, which leaps to the end of each buffer as it is made, less that buffer and the way to the speaker.
 * Source: Web Audio API 1.1, baseLatency and outputLatency; their sum is what Chromium's getOutputTimestamp lags behind by, measured.
 */
async function noteDown(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const noted: { events: unknown[]; marks: unknown[] } = { events: [], marks: [] };
    Object.assign(window, { noted });
    let context: AudioContext | undefined;
    let leap = { audio: 0, page: 0 };
    const Node = window.AudioWorkletNode;
    window.AudioWorkletNode = class extends Node {
      constructor(...given: ConstructorParameters<typeof Node>) {
        super(...given);
        if (given[0] instanceof AudioContext) context = given[0];
        const post = this.port.postMessage.bind(this.port);
        this.port.postMessage = (message: { kind: string; events?: unknown[] }) => {
          if (message.kind === 'play') noted.events.push(...(message.events ?? []));
          post(message);
        };
        const look = () => {
          const audio = context?.currentTime ?? 0;
          if (audio !== leap.audio) leap = { audio, page: performance.now() };
          setTimeout(look);
        };
        look();
      }
    };
    const heard = () => {
      if (!context) return 0;
      const since = (performance.now() - leap.page) / 1000;
      return leap.audio + since - context.baseLatency - context.outputLatency;
    };
    let frames = [performance.now(), performance.now()];
    const frame = () => {
      frames = [frames[1] ?? 0, performance.now()];
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    // The page may ask for its frame before or after this one: the longer of the two stretches is the one that counts.
    const gap = () =>
      Math.max(performance.now() - (frames[1] ?? 0), (frames[1] ?? 0) - (frames[0] ?? 0));
    addEventListener('DOMContentLoaded', () => {
      new MutationObserver((changes) => {
        for (const { target } of changes) {
          if (!(target instanceof HTMLElement)) continue;
          const { heard: stroke } = target.dataset;
          const picture = target.closest<HTMLElement>('[data-measure]')?.dataset.measure ?? '';
          if (stroke) noted.marks.push({ picture, stroke, heard: heard(), gap: gap() });
        }
      }).observe(document, { subtree: true, attributeFilter: ['data-heard'] });
    });
  });
}

function noted(page: Page): Promise<Noted> {
  return page.evaluate(() => (window as unknown as { noted: Noted }).noted);
}

async function openBoard(page: Page, link: string): Promise<void> {
  await page.goto(`${program.url}${link}`);
  await page.locator('[data-live]').waitFor();
}

const hear = (page: Page, what: string) =>
  page.getByRole('button', { name: `hear ${what}`, exact: true });

/** Once through a part of the demo. */
function part(tempo: number) {
  const { meter, neck, parts } = tune;
  const measures = (parts[0]?.measures ?? []).map((plain) => measureOf(meter, plain));
  return { measures, neck, tempo };
}

test('the audio thread renders what Node renders, and quickly', async ({ browser }) => {
  const request = { ...part(110), click: true, leadIn: { kind: 'count' } as const };
  const { events } = scoreOf(request);
  const sampleRate = 44_100;
  const wanted = renderSound(events, { sampleRate, channels: 1 });
  const page = await visitor(browser, `${program.url}${demo.links.watch}`);
  const { samples, ms } = await page.evaluate(
    async ({ path, events, mix, frames, sampleRate }) => {
      const context = new OfflineAudioContext(1, frames, sampleRate);
      await context.audioWorklet.addModule(path);
      const node = new AudioWorkletNode(context, 'passround-banjo', {
        numberOfInputs: 0,
        outputChannelCount: [1],
        processorOptions: { events, mix },
      });
      node.connect(context.destination);
      const began = performance.now();
      const rendered = await context.startRendering();
      return {
        samples: [...rendered.getChannelData(0)],
        ms: performance.now() - began,
      };
    },
    { path: WORKLET_PATH, events, mix: DEFAULT_MIX, frames: wanted.length, sampleRate },
  );
  expect(samples.length).toBe(wanted.length);
  const apart = samples.reduce(
    (most, sample, i) => Math.max(most, Math.abs(sample - (wanted[i] ?? 9))),
    0,
  );
  const share = ms / 1000 / (wanted.length / sampleRate);
  test.info().annotations.push({
    type: 'measured',
    description: `${wanted.length} samples at most ${apart.toExponential(1)} apart; ${(100 * share).toFixed(2)} % of real time`,
  });
  // A 32-bit sample near 0.5 is 3e-8 from the next one.
  expect(apart).toBeLessThan(1e-6);
  expect(share).toBeLessThan(0.1);
});

test('the stroke that is heard is marked within 20 ms', async ({ browser }) => {
  const page = await (await browser.newContext()).newPage();
  await noteDown(page);
  await openBoard(page, demo.links.watch);
  const plain = tune.parts[0]?.measures[1];
  if (!plain) throw new Error('no measure 2');
  const score = scoreOf({
    measures: [measureOf(tune.meter, plain)],
    neck: tune.neck,
    // The page plays at 60 % of the tune's tempo unless somebody has said otherwise.
    tempo: 0.6 * tune.tempo,
  });
  const late: { readonly ms: number; readonly gap: number }[] = [];
  for (let time = 1; time <= 3; time += 1) {
    const before = await noted(page);
    await hear(page, 'measure 2').click();
    await expect(hear(page, 'measure 2')).toHaveAttribute('aria-pressed', 'true');
    const over = { timeout: 15_000 };
    await expect(hear(page, 'measure 2')).toHaveAttribute('aria-pressed', 'false', over);
    const after = await noted(page);
    const events = after.events.slice(before.events.length);
    const marks = after.marks.slice(before.marks.length);
    expect(events).toHaveLength(score.events.length);
    expect(marks.map(({ stroke }) => Number(stroke))).toEqual(
      score.strokes.map((each) => each.stroke),
    );
    expect(marks.every(({ picture }) => picture === plain.id)).toBe(true);
    const start = Math.min(...events.map(({ at }) => at));
    for (const [i, { heard, gap }] of marks.entries())
      late.push({ ms: 1000 * (heard - start - (score.strokes[i]?.at ?? 0)), gap });
  }
  test.info().annotations.push({
    type: 'measured',
    description: `marks are late by (after no frame for) ${late.map(({ ms, gap }) => `${ms.toFixed(1)} (${gap.toFixed(0)})`).join(', ')} ms`,
  });
  // A machine that is busy with other work draws a frame late now and then. Every stroke counts that had its frame in time, at 60 a
  // second with a little to spare, and most must have had it.
  const inTime = late.filter(({ gap }) => gap < 20);
  expect(inTime.length / late.length).toBeGreaterThan(0.5);
  for (const { ms } of inTime) expect(Math.abs(ms)).toBeLessThan(20);
});

test('another measure takes the place of the one that is heard; pressed again it stops', async ({
  browser,
}) => {
  const page = await (await browser.newContext()).newPage();
  await openBoard(page, demo.links.join);
  await hear(page, 'measure 1').click();
  await expect(page.locator('[data-measure="m1"] .tab[data-now]')).toHaveCount(1);
  await hear(page, 'measure 3').click();
  await expect(page.locator('[data-measure="m3"] .tab[data-now]')).toHaveCount(1);
  await expect(hear(page, 'measure 1')).toHaveAttribute('aria-pressed', 'false');
  await hear(page, 'measure 3').click();
  await expect(page.locator('.tab[data-now]')).toHaveCount(0);
});

test('a variant is heard after the plain measure, and a draft in the workbench', async ({
  browser,
}) => {
  const page = await (await browser.newContext()).newPage();
  await openBoard(page, demo.links.join);
  await page.getByRole('slider', { name: 'how fast' }).fill('1');
  const column = page.locator('[data-measure="m1"]');
  await column
    .getByRole('button', { name: /^plain, then this/ })
    .first()
    .click();
  await expect(column.locator('.plain .tab[data-now]')).toHaveCount(1);
  await expect(column.locator('.variant .tab[data-now]')).toHaveCount(1);
  await expect(page.locator('.tab[data-now]')).toHaveCount(0, { timeout: 15_000 });
  await page.getByRole('button', { name: 'vary it measure 1', exact: true }).click();
  await hear(page, 'my variant').click();
  await expect(page.locator('.bench-hand .tab[data-now]')).toHaveCount(1);
});

test('the level that was set is there again', async ({ browser }) => {
  const page = await (await browser.newContext()).newPage();
  await openBoard(page, demo.links.watch);
  const level = page.getByRole('slider', { name: 'how loud' });
  await expect(level).toHaveValue('0.3');
  await level.fill('0.55');
  await page.reload();
  await expect(level).toHaveValue('0.55');
});

test('a browser without an audio thread says so, and the mark still runs', async ({ browser }) => {
  const page = await (await browser.newContext()).newPage();
  await page.addInitScript(() => Reflect.deleteProperty(window, 'AudioWorkletNode'));
  await openBoard(page, demo.links.watch);
  await hear(page, 'measure 2').click();
  await expect(page.getByText('This browser makes no sound here')).toBeVisible();
  const picture = page.locator('[data-measure="m2"] .plain div.tab');
  await expect(picture).toHaveAttribute('data-heard', /[0-2]/);
  await expect(picture).toHaveAttribute('data-heard', /[3-5]/);
  await expect(picture).not.toHaveAttribute('data-heard');
});

test('nothing of the sound is loaded before it is wanted', async ({ browser }) => {
  const page = await (await browser.newContext()).newPage();
  await openBoard(page, demo.links.watch);
  const loaded = () =>
    page.evaluate(() => performance.getEntriesByType('resource').map(({ name }) => name));
  const before = await loaded();
  await hear(page, 'measure 1').click();
  await expect(page.locator('.tab[data-now]')).toHaveCount(1);
  const more = (await loaded()).filter((name) => !before.includes(name));
  expect(more.filter((name) => name.endsWith('.js')).length).toBeGreaterThan(0);
});

test('a speaker that does not start is told, and the mark still runs', async ({ browser }) => {
  const page = await (await browser.newContext()).newPage();
  await page.addInitScript(() => {
    Object.defineProperty(AudioContext.prototype, 'state', { get: () => 'suspended' });
  });
  await openBoard(page, demo.links.watch);
  await hear(page, 'measure 2').click();
  await expect(page.getByText('The sound does not start')).toBeVisible();
  await expect(page.locator('[data-measure="m2"] .plain .tab[data-now]')).toHaveCount(1);
});

test('sound that could not be loaded is told, and is there the next time', async ({ browser }) => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await openBoard(page, demo.links.watch);
  await context.route(/\.js$/, (route) => route.abort());
  await hear(page, 'measure 2').click();
  await expect(page.getByText('The sound could not be loaded')).toBeVisible();
  await expect(hear(page, 'measure 2')).toHaveAttribute('aria-pressed', 'false');
  await context.unroute(/\.js$/);
  await hear(page, 'measure 2').click();
  await expect(page.locator('.tab[data-now]')).toHaveCount(1);
  await expect(page.getByText('The sound could not be loaded')).toHaveCount(0);
});
