import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { validate } from 'dockerfile-utils';
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { programPath } from '../../run/engines.mjs';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const read = (path: string) => readFileSync(join(ROOT, path), 'utf8');
const dockerfile = read('server/deploy/Dockerfile');

/** Arguments of every instruction of this name. */
function instructions(name: string): readonly string[] {
  const lines = dockerfile.split('\n').filter((line) => line.startsWith(`${name} `));
  return lines.map((line) => line.slice(name.length + 1));
}

describe('the Dockerfile', () => {
  test('has nothing that the linter finds, and the linter finds what is wrong', () => {
    expect(validate(dockerfile)).toEqual([]);
    const wrong = ['FROM node:22\nCOPPY . .\n', 'FROM node:22\nEXPOSE door\n', 'RUN true\n'];
    for (const text of wrong) expect(validate(text), text).not.toEqual([]);
  });

  test('copies and starts what is there, not as root, and asks an address that answers whether it is well', () => {
    for (const copied of instructions('COPY')) {
      const words = copied.split(' ').filter((word) => !word.startsWith('--'));
      for (const path of words.slice(0, -1)) expect(existsSync(join(ROOT, path)), path).toBe(true);
    }
    const command = v.parse(v.array(v.string()), JSON.parse(instructions('CMD')[0] ?? ''));
    expect(existsSync(join(ROOT, command.at(-1) ?? '')), command.at(-1)).toBe(true);
    expect(instructions('USER')).toEqual(['node']);
    const [port] = instructions('EXPOSE');
    expect(dockerfile).toContain(`PORT=${port} `);
    expect(dockerfile).toContain(`http://127.0.0.1:${port}/api/health`);
    expect(existsSync(join(ROOT, 'app/api/health/route.ts'))).toBe(true);
  });
});

/**
 * What we use of the Compose file format, and nothing else: a key that is not here is a mistake or needs a look.
 * Source: the Compose specification on docs.docker.com, from memory.
 */
const service = v.strictObject({
  image: v.optional(v.string()),
  build: v.optional(v.strictObject({ context: v.string(), dockerfile: v.string() })),
  command: v.optional(v.array(v.string())),
  ports: v.optional(v.array(v.pipe(v.string(), v.regex(/^\d+:\d+$/)))),
  environment: v.optional(v.record(v.string(), v.string())),
  configs: v.optional(v.array(v.strictObject({ source: v.string(), target: v.string() }))),
  volumes: v.optional(v.array(v.pipe(v.string(), v.regex(/^[a-z]+:\//)))),
  restart: v.optional(v.picklist(['unless-stopped', 'always', 'on-failure'])),
  depends_on: v.optional(
    v.union([
      v.array(v.string()),
      v.record(
        v.string(),
        v.strictObject({ condition: v.picklist(['service_healthy', 'service_started']) }),
      ),
    ]),
  ),
  healthcheck: v.optional(v.strictObject({ test: v.array(v.string()), interval: v.string() })),
});
const compose = v.strictObject({
  services: v.record(v.string(), service),
  volumes: v.record(v.string(), v.null()),
  configs: v.record(v.string(), v.strictObject({ content: v.string() })),
});

const text = read('server/deploy/compose.yaml');
const file = v.parse(compose, parse(text));

describe('the compose file', () => {
  test('a key that the format does not have is found', () => {
    const wrong = text.replace('restart: unless-stopped', 'restarts: unless-stopped');
    expect(v.safeParse(compose, parse(wrong)).success).toBe(false);
  });

  test('names only services, volumes and configurations that it has', () => {
    const names = Object.keys(file.services);
    for (const { depends_on = [], volumes = [], configs = [] } of Object.values(file.services)) {
      const needed = Array.isArray(depends_on) ? depends_on : Object.keys(depends_on);
      for (const name of needed) expect(names).toContain(name);
      for (const volume of volumes)
        expect(Object.keys(file.volumes)).toContain(volume.split(':')[0]);
      for (const { source } of configs) expect(Object.keys(file.configs)).toContain(source);
    }
    const healthy = Object.values(file.services).flatMap(({ depends_on = {} }) =>
      Array.isArray(depends_on) ? [] : Object.entries(depends_on),
    );
    for (const [name, { condition }] of healthy)
      if (condition === 'service_healthy') expect(file.services[name]?.healthcheck).toBeDefined();
  });

  test('starts the same program twice, with settings that it reads', () => {
    const { one, two } = file.services;
    expect(two).toEqual(one);
    expect(existsSync(join(ROOT, one?.build?.dockerfile ?? ''))).toBe(true);
    expect(resolve(ROOT, 'server/deploy', one?.build?.context ?? '')).toBe(resolve(ROOT));
    const config = read('server/config.ts');
    const names = Object.keys(one?.environment ?? {});
    expect(names).toEqual(expect.arrayContaining(['DATABASE_URL', 'REDIS_URL', 'PROXIES']));
    for (const name of names) expect(config).toContain(`env.${name}`);
    const hosts = ['DATABASE_URL', 'REDIS_URL'].map(
      (name) => new URL((one?.environment?.[name] ?? '').replace(/\$\{[^}]*\}/, 'x')).hostname,
    );
    for (const host of hosts) expect(Object.keys(file.services)).toContain(host);
  });
});

/** The balancer's configuration, with this machine in the place of the services, whose names only Docker knows. */
const balancer = (file.configs.balancer?.content ?? '').replaceAll(
  /(one|two):3000/g,
  '127.0.0.1:3000',
);

describe('the balancer', () => {
  test('sends people to every node, and asks each whether it is well', () => {
    const content = file.configs.balancer?.content ?? '';
    const nodes = Object.entries(file.services).filter(([, { build }]) => build !== undefined);
    for (const [name] of nodes) expect(content).toContain(`server ${name} ${name}:3000`);
    expect(content).toContain('httpchk GET /api/health');
    expect(content).toContain('bind :3000');
    expect(file.services.balancer?.ports).toEqual(['3000:3000']);
  });

  const haproxy = programPath('haproxy');
  if (haproxy === undefined)
    test.skip(
      'its own program could not check the configuration, because haproxy is not installed here',
    );
  else
    test('is configured as its own program wants it, and that program finds what is wrong', () => {
      const folder = mkdtempSync(join(tmpdir(), 'passround-balancer-'));
      const path = join(folder, 'haproxy.cfg');
      try {
        writeFileSync(path, balancer);
        execFileSync(haproxy, ['-c', '-f', path]);
        writeFileSync(path, balancer.replace('balance leastconn', 'balance by eye'));
        expect(spawnSync(haproxy, ['-c', '-f', path]).status).not.toBe(0);
      } finally {
        rmSync(folder, { recursive: true, force: true });
      }
    });
});
