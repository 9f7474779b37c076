import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as v from 'valibot';
import type { BoardId } from '../../lib/units';
import { newParticipantId, sessionCookie } from '../../server/links';
import { testConfig } from '../kit/server-config';
import { markOf } from './bench-links';
import type { Member } from './crowd';

const CHILD = fileURLToPath(new URL('../kit/node-child.ts', import.meta.url));

const answer = v.object({
  metrics: v.string(),
  rss: v.number(),
  used: v.number(),
  cpuMs: v.number(),
});

/** One server among others in a process of its own. */
export interface NodeProcess {
  readonly port: number;
  /** Bytes and time of the processor since it started, and event-loop delays since the last time it was asked. */
  readonly takesUp: () => Promise<{
    readonly rss: number;
    readonly used: number;
    readonly cpuMs: number;
    readonly delayMs: { readonly median: number; readonly most: number };
  }>;
  readonly stop: () => Promise<void>;
}

export async function startNodeProcess(
  databaseUrl: string,
  redisUrl: string,
): Promise<NodeProcess> {
  const folder = mkdtempSync(join(tmpdir(), 'passround-bench-'));
  const args = ['--expose-gc', '--import', 'tsx', CHILD, folder, databaseUrl, redisUrl];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit', 'ipc'] });
  const [line] = await once(child.stdout ?? child, 'data');
  const ended = once(child, 'exit');
  return {
    port: Number(String(line).trim()),
    takesUp: async () => {
      child.send('how much');
      const [message] = await once(child, 'message');
      const { metrics, ...rest } = v.parse(answer, message);
      const delay = (part: string) =>
        1000 *
        Number(
          metrics.match(new RegExp(`event_loop_delay_seconds\\{quantile="${part}"\\} (\\S+)`))?.[1],
        );
      return { ...rest, delayMs: { median: delay('0.5'), most: delay('0.99') } };
    },
    stop: async () => {
      child.kill('SIGTERM');
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** People with cookies that every server of the tests takes. */
export function membersOf(board: BoardId, count: number): readonly Member[] {
  const folder = mkdtempSync(join(tmpdir(), 'passround-bench-'));
  const { secret } = testConfig(folder);
  rmSync(folder, { recursive: true, force: true });
  return Array.from({ length: count }, () => {
    const participant = newParticipantId();
    const me = { participant, role: 'join', mark: markOf(board, 'join') } as const;
    const cookie = sessionCookie(secret, board, me, false);
    return { participant, cookie: cookie.split(';')[0] ?? '' };
  });
}
