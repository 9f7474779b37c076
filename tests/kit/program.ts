import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const ROOT = join(import.meta.dirname, '..', '..');

/** The whole program as a process of its own on a free port and a data folder of its own, to be used and killed by tests. */
export interface Program {
  readonly url: string;
  /** Ends it at once, as a power cut would. */
  readonly kill: () => Promise<void>;
  /** Ends it in order, as a new version is put in the place of an old one. */
  readonly stop: () => Promise<void>;
  /** Starts it again on the same port and the same data. */
  readonly startAgain: () => Promise<void>;
  /** Ends it for good and removes its data. */
  readonly end: () => Promise<void>;
}

interface Running {
  readonly child: ChildProcess;
  readonly url: string;
  readonly ended: Promise<void>;
}

type Environment = Readonly<Record<string, string>>;

function launch(dataDir: string, port: string, more: Environment): Promise<Running> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
    cwd: ROOT,
    env: {
      ...process.env,
      NODE_ENV: 'production',
      PORT: port,
      HOST: '127.0.0.1',
      DATA_DIR: dataDir,
      ...more,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const ended = new Promise<void>((done) => child.once('exit', () => done()));
  return new Promise((resolve, reject) => {
    let said = '';
    const listen = (chunk: Buffer) => {
      said += chunk.toString();
      const url = /http:\/\/[\d.]+:\d+/.exec(said)?.[0];
      if (url) resolve({ child, url, ended });
    };
    child.stdout?.on('data', listen);
    child.stderr?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
    });
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
  });
}

/**
 * Starts the program as `npm start` does after its build; needs the pages to be built.
 * @param more environment, such as the engines of several nodes
 */
export async function startProgram(more: Environment = {}): Promise<Program> {
  const dataDir = mkdtempSync(join(tmpdir(), 'passround-'));
  let running = await launch(dataDir, '0', more);
  const { url } = running;
  const kill = async () => {
    running.child.kill('SIGKILL');
    await running.ended;
  };
  return {
    url,
    kill,
    stop: async () => {
      running.child.kill('SIGTERM');
      await running.ended;
    },
    startAgain: async () => {
      running = await launch(dataDir, new URL(url).port, more);
    },
    end: async () => {
      await kill();
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
}
