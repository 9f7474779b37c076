import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { BoardId, ParticipantId } from '../../lib/units';
import type { Config } from '../../server/config';
import type { Host } from '../../server/host';
import type { Imports } from '../../server/imports/desk';
import { ImportDesk } from '../../server/imports/desk';
import type { RunningServer, ServerOptions } from '../../server/serve';
import { startServer } from '../../server/serve';
import type { Role } from '../../shared/board/roles';
import { testConfig } from './server-config';

/** A board on a test's server, and the secrets of its links. */
export interface TestBoard {
  readonly id: BoardId;
  readonly secrets: Readonly<Record<Role, string>>;
}

/** Somebody with a cookie, as a browser has after it opened a link. */
export interface Visitor {
  readonly participant: ParticipantId;
  readonly role: Role;
  /** Value of a `Cookie` header. */
  readonly cookie: string;
}

export interface TestServer extends RunningServer {
  readonly config: Config;
  /** What the server told on stderr. */
  readonly reports: readonly string[];
  /** Asks for a board as the route does. */
  ask(body: unknown, address?: string): ReturnType<Host['createBoard']>;
  /** Makes the demo board, or what the body says. @throws Error if it is refused */
  create(body?: unknown): Promise<TestBoard>;
  /** Opens a link of a board as a new browser does, or as one that has this cookie. */
  visit(board: TestBoard, role: Role, cookie?: string): Promise<Visitor>;
}

let reading: ImportDesk | undefined;

/** What reads for all servers of a test file: starting a process takes longer than most of their tests. It ends with the file's own process. */
function sharedImports(): Imports {
  reading ??= new ImportDesk((words, error) => {
    throw new Error(words, { cause: error });
  });
  const desk = reading;
  return {
    warm: () => desk.warm(),
    read: (board, text) => desk.read(board, text),
    stop: () => Promise.resolve(),
  };
}

/** An empty folder that is gone after the test. */
export function testFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'passround-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/**
 * A real server without pages on a port of the system's choice, with rooms that close at once; stopped after the test.
 * @param options `config` is made for an empty folder if absent
 */
export async function startTestServer(options: Partial<ServerOptions> = {}): Promise<TestServer> {
  const reports: string[] = [];
  // A fault of the server's that one board alone felt is one all the same.
  const faults: Error[] = [];
  const config = options.config ?? testConfig(testFolder());
  const report = (words: string, error: unknown) => {
    reports.push(words);
    if (words.startsWith('Something went wrong')) faults.push(new Error(words, { cause: error }));
  };
  const given = { lingerMs: 0, report, imports: sharedImports(), ...options, config };
  const server = await startServer(given);
  let stopped: Promise<void> | undefined;
  const stop = () => {
    stopped ??= server.stop();
    return stopped;
  };
  onTestFinished(async () => {
    await stop();
    if (faults.length > 0) throw new AggregateError(faults);
  });
  const ask = (body: unknown, address?: string) =>
    server.host.createBoard(JSON.stringify(body) ?? '', address);
  return {
    ...server,
    stop,
    config,
    reports,
    ask,
    async create(body = { tune: { demo: true } }) {
      const made = await ask(body);
      if (!made.ok) throw new Error(made.problems.map(({ words }) => words).join(' '));
      const { board, links } = made.value;
      const secret = (role: Role) => links[role].replace('/join/', '');
      const secrets = { lead: secret('lead'), join: secret('join'), watch: secret('watch') };
      return { id: board as BoardId, secrets };
    },
    async visit(board, role, cookie) {
      const opened = await server.host.openLink(board.secrets[role], cookie);
      if (!opened) throw new Error('the link is unknown');
      const { participant, role: become, setCookie } = opened;
      return { participant, role: become, cookie: setCookie.split(';')[0] ?? '' };
    },
  };
}
