import { describe, expect, test } from 'vitest';
import { timeWords } from '../../../../app/_islands/play/in-time';
import { leftWords, placeWords } from '../../../../app/_islands/play/words';
import { passToShow, secondsToNextPass } from '../../../../app/b/[board]/play/pass-to-show';
import { withFootUp, withJump, withPause, withRepeat } from '../../../../lib/transport/change';
import { positionAt } from '../../../../lib/transport/place';
import type { Transport } from '../../../../lib/transport/transport';
import { PLAYING, TWO } from '../../../kit/transport';

const at = (transport: Transport, nowMs: number) => positionAt(transport, TWO, nowMs);

describe('where everybody is, in words', () => {
  test.each([
    ['before the start', { kind: 'stopped' } as Transport, 0, 'Nobody is playing yet.'],
    ['in the count', PLAYING, 9_000, 'Counting in'],
    ['in a pass', PLAYING, 12_000, 'Pass 1 of 3'],
    ['in the last pass', PLAYING, 19_000, 'Pass 3 of 3, the last one'],
    ['after a foot', withFootUp(PLAYING, TWO, 12_000), 12_500, 'Pass 1 of 3, the last one'],
    ['in a wait', withPause(PLAYING, TWO, 12_000), 20_000, 'Waiting in pass 2 of 3'],
    ['at the end', PLAYING, 30_000, 'That was it. Well played.'],
  ])('%s', (_, transport, nowMs, words) =>
    expect(placeWords(at(transport, nowMs), transport, 3)).toBe(words),
  );
});

describe('what is left, in words', () => {
  test.each([
    [PLAYING, 12_000, '60 beats a minute, 2 more to go'],
    [PLAYING, 19_000, '60 beats a minute'],
    [withRepeat(PLAYING, TWO, 12_000, true), 12_500, '60 beats a minute, this pass stays'],
    [withJump(PLAYING, TWO, 12_000, 3), 12_500, '60 beats a minute, then pass 3'],
    [
      withPause(PLAYING, TWO, 10_500),
      11_000,
      '60 beats a minute, 2 more to go, wait after this measure',
    ],
  ])('case %#', (transport, nowMs, words) =>
    expect(leftWords(at(transport, nowMs), transport, nowMs)).toBe(words),
  );

  test('nothing while nobody plays', () =>
    expect(leftWords({ kind: 'stopped' }, { kind: 'stopped' }, 0)).toBeUndefined());
});

describe('how good the beat is, in words', () => {
  test.each([
    [7.2, 'connected', 'In time within 8 ms'],
    [0.2, 'connected', 'In time within 1 ms'],
    [61, 'connected', 'Only in time within 61 ms: the line is slow'],
    [12, 'lost', 'On its own clock, in time within 12 ms'],
    [undefined, 'connected', 'Finding the beat'],
  ] as const)('%s %s', (within, connection, words) =>
    expect(timeWords(within, connection)).toBe(words),
  );
});

describe('a page without scripts', () => {
  test.each([
    ['2', 12_000, 2],
    [undefined, 15_000, 2],
    ['99', 12_000, 3],
    ['0', 12_000, 1],
    ['abc', 15_000, 2],
    [['1', '2'], 15_000, 2],
    [undefined, 9_000, 1],
    [undefined, 90_000, 1],
  ] as const)('asked for %s at %i ms shows pass %i', (asked, nowMs, pass) =>
    expect(passToShow(asked, at(PLAYING, nowMs), 3)).toBe(pass),
  );

  test.each([
    [12_000, 2],
    [13_500, 1],
    [8_000, 2],
    [90_000, 20],
  ])('at %i ms it comes again after %i s', (nowMs, seconds) =>
    expect(secondsToNextPass(at(PLAYING, nowMs), nowMs)).toBe(seconds),
  );

  test('while it is waited it looks every five seconds', () =>
    expect(secondsToNextPass(at(withPause(PLAYING, TWO, 10_500), 20_000), 20_000)).toBe(5));
});
