import type { Page } from '@playwright/test';

/** Frames of a page as they were shown, small, with the time of each in seconds. */
export interface Frame {
  readonly seconds: number;
  /** JPEG, base64. */
  readonly data: string;
}

/** Takes every frame that the page shows for so long, at most `width` px wide. */
export async function framesOf(
  page: Page,
  seconds: number,
  width: number,
): Promise<readonly Frame[]> {
  const client = await page.context().newCDPSession(page);
  const frames: Frame[] = [];
  client.on('Page.screencastFrame', ({ data, metadata, sessionId }) => {
    frames.push({ seconds: metadata.timestamp ?? Number.NaN, data });
    // The next frame comes only after this; a page that was closed meanwhile needs none.
    client.send('Page.screencastFrameAck', { sessionId }).catch(() => undefined);
  });
  await client.send('Page.startScreencast', {
    format: 'jpeg',
    quality: 90,
    maxWidth: width,
    maxHeight: width,
    everyNthFrame: 1,
  });
  await page.evaluate((ms) => new Promise((done) => setTimeout(done, ms)), seconds * 1000);
  await client.send('Page.stopScreencast');
  await client.detach();
  return frames;
}

/** What flashes in frames. */
export interface Flashes {
  readonly frames: number;
  /** Most flashes of any one place in any one second: pairs of opposing changes of relative luminance by 10 % or more. */
  readonly most: number;
  /** The largest part of the picture that flashes more than three times in one second. */
  readonly areaAboveThree: number;
  /** The largest part of the picture that changes from one frame to the next, so that frames that show nothing are seen. */
  readonly changed: number;
}

/**
 * Counts flashes in frames, place by place, in a browser page.
 * Source: WCAG 2.2, definition of general flash (opposing changes of 10 % or more, the darker below 0.80), and of relative luminance.
 */
export function flashesIn(page: Page, frames: readonly Frame[]): Promise<Flashes> {
  return page.evaluate(async (taken: readonly Frame[]) => {
    const linear = Array.from({ length: 256 }, (_, level) => {
      const share = level / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    const pictures: { seconds: number; light: Float32Array }[] = [];
    for (const { seconds, data } of taken) {
      const blob = await (await fetch(`data:image/jpeg;base64,${data}`)).blob();
      const bitmap = await createImageBitmap(blob);
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
      const context = canvas.getContext('2d');
      if (!context) throw new Error('no canvas');
      context.drawImage(bitmap, 0, 0);
      const { data: rgba } = context.getImageData(0, 0, bitmap.width, bitmap.height);
      const light = new Float32Array(rgba.length / 4);
      for (let i = 0; i < light.length; i += 1)
        light[i] =
          0.2126 * (linear[rgba[4 * i] ?? 0] ?? 0) +
          0.7152 * (linear[rgba[4 * i + 1] ?? 0] ?? 0) +
          0.0722 * (linear[rgba[4 * i + 2] ?? 0] ?? 0);
      pictures.push({ seconds, light });
    }
    const size = pictures[0]?.light.length ?? 0;
    let most = 0;
    let above = 0;
    const changes: number[][] = [];
    for (let place = 0; place < size; place += 1) {
      // Extremes of the light at this place, each at least 10 % from the one before: every two changes are a flash.
      const times: number[] = [];
      let low = pictures[0]?.light[place] ?? 0;
      let high = low;
      let way: 'up' | 'down' | 'none' = 'none';
      for (const { seconds, light } of pictures) {
        const now = light[place] ?? 0;
        if (way !== 'down') high = Math.max(high, now);
        if (way !== 'up') low = Math.min(low, now);
        if (way !== 'down' && high - now >= 0.1 && now < 0.8) {
          times.push(seconds);
          way = 'down';
          low = now;
        } else if (way !== 'up' && now - low >= 0.1 && low < 0.8) {
          times.push(seconds);
          way = 'up';
          high = now;
        }
      }
      changes.push(times);
    }
    for (const { seconds: end } of pictures) {
      let aboveNow = 0;
      for (const times of changes) {
        const inSecond = times.filter((at) => at > end - 1 && at <= end).length;
        const flashes = Math.floor(inSecond / 2);
        if (flashes > most) most = flashes;
        if (flashes > 3) aboveNow += 1;
      }
      above = Math.max(above, aboveNow / size);
    }
    let changed = 0;
    for (const [i, { light }] of pictures.entries()) {
      const before = pictures[i - 1]?.light;
      if (!before) continue;
      let count = 0;
      for (let place = 0; place < size; place += 1)
        if (Math.abs((light[place] ?? 0) - (before[place] ?? 0)) >= 0.1) count += 1;
      changed = Math.max(changed, count / size);
    }
    return { frames: pictures.length, most, areaAboveThree: above, changed };
  }, frames);
}
