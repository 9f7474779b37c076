import { expect, test } from 'vitest';
import {
  firstSettings,
  settingsFromText,
  tempoRange,
} from '../../../../app/_islands/practice/settings';
import type { MeasureId } from '../../../../lib/units';

const first = firstSettings(90, 'A');

test('practice begins slowly and with a count', () => {
  expect(first.tempo).toBeLessThan(90);
  expect(first.leadIn).toBe('count');
  expect(first.stretch).toEqual({ kind: 'part', letter: 'A' });
});

test.each([
  [60, 20, 125],
  [110, 37, 125],
  [180, 60, 180],
])('a tune at %i is practised from %i to %i', (tune, low, high) => {
  expect(tempoRange(tune)).toEqual({ low, high });
});

test.each([24, 50, 110, 240])('the first tempo of a tune at %i is one of its own', (tune) => {
  const { low, high } = tempoRange(tune);
  const { tempo, goal } = firstSettings(tune, undefined);
  expect(tempo).toBeGreaterThanOrEqual(low);
  expect(tempo).toBeLessThanOrEqual(high);
  expect(goal).toBe(tune);
});

test('settings are kept as they were', () => {
  const settings = {
    ...first,
    choice: { kind: 'pass', pass: 3 },
    stretch: { kind: 'measures', from: 'm2' as MeasureId, to: 'm5' as MeasureId },
    swing: 0.6,
  };
  expect(settingsFromText(JSON.stringify(settings), 90)).toEqual(settings);
});

test('a kept tempo is held to what the tune allows now', () => {
  const text = JSON.stringify({ ...first, tempo: 10, goal: 200 });
  expect(settingsFromText(text, 90)).toMatchObject({ tempo: 30, goal: 125 });
});

test.each([
  ['nothing', null],
  ['no JSON', 'x'],
  ['a part of settings', JSON.stringify({ tempo: 60 })],
  ['an unknown choice', JSON.stringify({ ...first, choice: { kind: 'all' } })],
  ['a swing beyond a dance', JSON.stringify({ ...first, swing: 0.9 })],
  ['no whole rounds', JSON.stringify({ ...first, rounds: 1.5 })],
])('%s is not taken for settings', (_, text) => {
  expect(settingsFromText(text, 90)).toBeUndefined();
});
