import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { RedisFanout } from '../../../server/fanout/redis';
import { withEngines } from '../../kit/engines';
import { eventually } from '../../kit/provider';
import type { TestRedis } from '../../kit/redis';
import { startRedis } from '../../kit/redis';
import { fanoutConforms, fanoutReaches } from './conformance';

withEngines(() => {
  let server: TestRedis;
  beforeAll(async () => {
    server = await startRedis();
  });
  afterAll(() => server.end());

  const open = async (count: number) =>
    Array.from({ length: count }, () => new RedisFanout(server.url, () => undefined));

  fanoutConforms('by Redis', open);
  fanoutReaches('by Redis', open);

  test('when Redis was away it is told once, and once it is back: back, and what is said then is heard', async () => {
    const reports: string[] = [];
    const line = new RedisFanout(server.url, (words) => reports.push(words));
    onTestFinished(() => line.close());
    let backs = 0;
    line.onBack(() => {
      backs += 1;
    });
    const heard: number[] = [];
    line.listen('board', (message) => heard.push(...message));
    await eventually(() => backs === 1, 'the line is there');
    await server.stop();
    await eventually(() => reports.length === 1, 'it is told');
    for (let turn = 0; turn < 20; turn += 1) line.say('board', new Uint8Array([1]));
    await server.start();
    await eventually(() => backs === 2, 'the line is back');
    await eventually(() => {
      line.say('board', new Uint8Array([2]));
      return heard.length > 0;
    }, 'it is heard again');
    expect(reports).toHaveLength(1);
    expect(new Set(heard)).toEqual(new Set([2]));
  });
});
