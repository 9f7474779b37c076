import { execFileSync, spawnSync } from 'node:child_process';
import { programPath } from '../run/engines.mjs';

/**
 * A network namespace of its own with two cables: one to the people, one to the engines. The second can be pulled, and then nothing comes
 * through and nobody is told: packets vanish, as in a network that falls apart.
 */
export interface Island {
  /** Where people find a server that runs in it. */
  readonly address: string;
  /** Where such a server finds this machine's engines. */
  readonly mainland: string;
  /** What goes before a command, so that it runs in it. */
  readonly prefix: readonly string[];
  readonly pull: () => void;
  readonly plug: () => void;
  /** Takes it away with its cables; what runs in it must have ended. */
  readonly end: () => void;
}

function ip(...args: readonly string[]): void {
  execFileSync(programPath('ip') ?? 'ip', [...args], { stdio: ['ignore', 'ignore', 'pipe'] });
}

/** Can this process make network namespaces? Only root on Linux, and not in every container. */
export function canMakeIslands(): boolean {
  const path = programPath('ip');
  if (process.platform !== 'linux' || process.getuid?.() !== 0 || path === undefined) return false;
  const name = `passround-try-${process.pid}`;
  if (spawnSync(path, ['netns', 'add', name]).status !== 0) return false;
  return spawnSync(path, ['netns', 'del', name]).status === 0;
}

/** Of the addresses for tests of networks, nobody's in the world; a net of two for each cable. Source: RFC 2544, appendix C.2.2, 198.18.0.0/15. */
const NET = '198.18.77';
let made = 0;

export function makeIsland(): Island {
  const base = made * 8;
  made += 1;
  const name = `passround-${process.pid}-${made}`;
  const cable = (kind: 'p' | 'e') => ({
    here: `pr${kind}${process.pid}${made}`.slice(-15),
    there: `isl${kind}`,
  });
  ip('netns', 'add', name);
  const lay = (kind: 'p' | 'e', first: number) => {
    const { here, there } = cable(kind);
    ip('link', 'add', here, 'type', 'veth', 'peer', 'name', there, 'netns', name);
    ip('addr', 'add', `${NET}.${first}/30`, 'dev', here);
    ip('link', 'set', here, 'up');
    ip('-n', name, 'addr', 'add', `${NET}.${first + 1}/30`, 'dev', there);
    ip('-n', name, 'link', 'set', there, 'up');
  };
  ip('-n', name, 'link', 'set', 'lo', 'up');
  lay('p', base + 1);
  lay('e', base + 5);
  const engines = cable('e').here;
  return {
    address: `${NET}.${base + 2}`,
    mainland: `${NET}.${base + 5}`,
    prefix: [programPath('ip') ?? 'ip', 'netns', 'exec', name],
    // At this end: inside the way there stays, and what is sent on it goes nowhere.
    pull: () => ip('link', 'set', engines, 'down'),
    plug: () => ip('link', 'set', engines, 'up'),
    end: () => ip('netns', 'del', name),
  };
}
