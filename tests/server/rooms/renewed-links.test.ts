import { createHmac } from 'node:crypto';
import { expect, onTestFinished, test, vi } from 'vitest';
import { SqliteStore } from '../../../server/store/sqlite';
import { StoreError } from '../../../server/store/store';
import type { Role } from '../../../shared/board/roles';
import { ROLES, saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import { act } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import type { Actor, Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';
import { SlowStore } from '../../kit/stores';

type Cookie = Pick<Visitor, 'cookie'>;

/** Makes a link new; the board with its present links. */
async function renewed(
  { leader, ...it }: Stage,
  role: Role,
  board: TestBoard = it.board,
): Promise<TestBoard> {
  leader.peer.frames.length = 0;
  const told = () => leader.peer.words.find((word) => word.kind === 'new-link');
  act(leader, { kind: 'renew-link', role });
  await leader.peer.until(() => told() !== undefined);
  const word = told();
  if (word?.kind !== 'new-link') throw new Error('no link was told');
  return { id: board.id, secrets: { ...board.secrets, [role]: word.path.replace('/join/', '') } };
}

/** What is opened to whoever shows this cookie, with a link's secret beside it if there is one. */
async function openTo(
  server: TestServer,
  board: TestBoard,
  { cookie }: Cookie,
  key?: string,
): Promise<{ readonly socket: string; readonly page: string; readonly past: boolean }> {
  const { host } = server;
  const pass = key === undefined ? { cookie } : { key };
  const socket = await Peer.open(server, board, pass, { cookie }).then(
    async (peer) => {
      await peer.until(() => peer.words.length > 0 || peer.closed !== undefined);
      const [word] = peer.words;
      await peer.leave();
      return word?.kind === 'welcome' ? word.role : (word?.kind ?? '');
    },
    (error: unknown) => (error instanceof Error ? (/\d{3}/.exec(error.message)?.[0] ?? '') : ''),
  );
  const visitor = await host.visitorOf(board.id, cookie);
  const mayRead = await host.mayRead(board.id, cookie, key);
  const page = `${visitor?.role ?? 'nobody'}, ${mayRead ? 'reads' : 'reads nothing'}`;
  return { socket, page, past: (await host.listPast(board.id, cookie)).ok };
}

const SHUT = { socket: '401', page: 'nobody, reads nothing', past: false };

function openAs(role: Role) {
  return { socket: role, page: `${role}, reads`, past: role === 'lead' };
}

async function codeOf({ peer }: Actor): Promise<string> {
  peer.frames.length = 0;
  act({ peer }, { kind: 'ask-code' });
  const told = () => peer.words.find((word) => word.kind === 'code');
  await peer.until(() => told() !== undefined);
  const word = told();
  if (word?.kind !== 'code') throw new Error('no code was told');
  return word.code;
}

/** A cookie as the program before this made it: it names no link. */
function olderCookie({ server, board }: Stage, { participant, role }: Visitor): Cookie {
  const text = `${participant}.${role}`;
  const hmac = createHmac('sha256', server.config.secret).update(`${board.id}.${text}`);
  return { cookie: `passround_${board.id}=${text}.${hmac.digest('base64url')}` };
}

test.each(ROLES)(
  '[R20] a cookie to %s that was kept and never used is nobody once that link is made new, also where the clock has gone back',
  async (role) => {
    let now = 2_000_000_000_000;
    const it = await stage({ now: () => now });
    const kept = await it.server.visit(it.board, role);
    const other = await it.server.visit(it.board, role === 'join' ? 'watch' : 'join');
    now -= 3_600_000;
    const board = await renewed(it, role);
    expect(await openTo(it.server, board, kept)).toEqual(SHUT);
    expect(await openTo(it.server, board, other)).toEqual(openAs(other.role));
    // And not by renewing again.
    const again = await renewed(it, role, board);
    expect(await openTo(it.server, again, kept)).toEqual(SHUT);
    const fresh = await it.server.visit(again, role);
    expect(await openTo(it.server, again, fresh)).toEqual(openAs(role));
  },
);

test.each(ROLES)(
  '[R20] whoever is nobody by an old cookie to %s comes in by the present join link, and as no more than that gives',
  async (role) => {
    const it = await stage();
    const [kept, another] = [
      await it.server.visit(it.board, role),
      await it.server.visit(it.board, role),
    ];
    const board = await renewed(it, role);
    expect((await openTo(it.server, board, kept, board.secrets.join)).socket).toBe('join');
    const opened = await it.server.visit(board, 'join', another.cookie);
    expect(await openTo(it.server, board, opened)).toEqual(openAs('join'));
  },
);

test('[R20] a kept cookie to lead raises nobody who opens the present join link, whichever way', async () => {
  const it = await stage();
  const kept = await it.server.visit(it.board, 'lead');
  const board = await renewed(it, 'lead');
  const opened = await it.server.visit(board, 'join', kept.cookie);
  expect(opened.role).toBe('join');
  expect(await openTo(it.server, board, opened)).toEqual(openAs('join'));
  const used = await it.server.host.openCode(board.id, await codeOf(it.victim), kept.cookie);
  if (!used.ok) throw new Error(used.problems[0]?.words);
  const cookie = used.value.setCookie.split(';')[0] ?? '';
  expect(await it.server.host.visitorOf(board.id, cookie)).toEqual({
    participant: it.victim.me.participant,
    role: 'join',
  });
});

test('[R20] a link that is made new at the very moment in which it is opened gives nothing that stays', async () => {
  const config = testConfig(testFolder());
  const store = new SqliteStore(config.dataDir);
  const it = await stage({ config, store });
  const kept = await it.server.visit(it.board, 'lead');
  const find = store.findLink.bind(store);
  let renew: Role | undefined;
  let board = it.board;
  store.findLink = async (hash) => {
    const found = await find(hash);
    const role = renew;
    renew = undefined;
    if (role) board = await renewed(it, role, board);
    return found;
  };
  renew = 'join';
  const late = await it.server.visit(it.board, 'join');
  expect(await openTo(it.server, board, late)).toEqual(SHUT);
  store.findLink = find;
  const present = store.presentLink.bind(store);
  store.presentLink = async (id, role) => {
    const hash = await present(id, role);
    if (renew === role) {
      renew = undefined;
      board = await renewed(it, role, board);
    }
    return hash;
  };
  renew = 'lead';
  const raised = await it.server.visit(board, 'join', kept.cookie);
  expect(await openTo(it.server, board, raised)).toEqual(SHUT);
});

test('[R20] a student who kept a cookie to lead and never led stays a student once the lead link is made new', async () => {
  const it = await stage();
  const kept = await it.server.visit(it.board, 'lead', it.attacker.me.cookie);
  expect(kept).toMatchObject({ participant: it.attacker.me.participant, role: 'lead' });
  const board = await renewed(it, 'lead');
  expect(await openTo(it.server, board, kept)).toEqual(openAs('join'));
});

test('[R20] who has been in stays who they are when their link is made new, here or away, also after a restart', async () => {
  const it = await stage();
  const away = await it.server.visit(it.board, 'lead');
  await (await Peer.joined(it.server, it.board, away)).leave();
  const board = await renewed(it, 'lead', await renewed(it, 'join'));
  const all = [it.leader.me, away, it.victim.me, it.attacker.me];
  for (const me of all) expect(await openTo(it.server, board, me)).toEqual(openAs(me.role));
  it.victim.peer.edit(saidBy(it.victim.me.participant), (doc) => writeName(doc, 'Alder still'));
  await it.victim.peer.settled();
  await it.server.stop();
  const next = await startTestServer({ config: it.server.config });
  for (const me of all) {
    expect(await openTo(next, board, me)).toEqual(openAs(me.role));
    expect(await next.host.visitorOf(board.id, me.cookie)).toEqual({
      participant: me.participant,
      role: me.role,
    });
  }
});

test('[R20] who listens goes on when the watch link is made new, and comes again by the new link alone', async () => {
  const it = await stage();
  const board = await renewed(it, 'watch');
  await it.witness.peer.settled();
  expect(it.witness.peer.closed).toBeUndefined();
  expect(await openTo(it.server, board, it.witness.me)).toEqual(SHUT);
  const again = await it.server.visit(board, 'watch', it.witness.me.cookie);
  expect(await openTo(it.server, board, again)).toEqual(openAs('watch'));
});

test('[R20] who was sent away is told so by an old cookie, too, and opens nothing with it: no present link, no code', async () => {
  const it = await stage();
  const { host } = it.server;
  for (const { me, peer } of [it.victim, it.witness]) {
    act(it.leader, { kind: 'remove-person', participant: me.participant });
    await peer.until(() => peer.closed !== undefined);
  }
  const board = await renewed(it, 'join', await renewed(it, 'watch'));
  for (const { cookie, participant } of [it.victim.me, it.witness.me]) {
    expect(await host.mayRead(board.id, cookie, board.secrets.join)).toBe(false);
    expect(await host.openLink(board.secrets.join, cookie)).toBeUndefined();
    const code = await codeOf(it.attacker);
    expect(await host.openCode(board.id, code, cookie)).toMatchObject({ ok: false });
    expect(await host.whoIsGone(board.id, cookie)).toBe(participant);
  }
  const peer = await Peer.open(it.server, board, it.victim.me);
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(4403);
});

test.each<
  readonly [string, (it: Stage, kept: Visitor, fresh: Visitor) => Promise<Cookie> | Cookie]
>([
  [
    'the mark of the present link written into it',
    (_, { cookie }, fresh) => {
      const [mark, old] = [fresh, { cookie }].map((one) => one.cookie.split('.')[2] ?? '');
      return { cookie: cookie.replace(`.${old}.`, `.${mark}.`) };
    },
  ],
  [
    'its mark taken out',
    (_, { cookie }) => ({ cookie: cookie.replace(/\.[^.]+\.([^.]+)$/, '.$1') }),
  ],
  ['an empty mark', (_, { cookie }) => ({ cookie: cookie.replace(/\.[^.]+\.([^.]+)$/, '..$1') })],
  [
    'the signature of a present one',
    (_, { cookie }, fresh) => ({
      cookie: cookie.replace(/[^.]+$/, fresh.cookie.split('.')[3] ?? ''),
    }),
  ],
  [
    'the name of a student who is in written into it',
    (it, { cookie, participant }) => ({
      cookie: cookie.replace(participant, it.victim.me.participant),
    }),
  ],
  [
    'the value of a present one of another board',
    async (it) => {
      const elsewhere = await it.server.create();
      const { cookie } = await it.server.visit(elsewhere, 'join');
      return { cookie: cookie.replace(elsewhere.id, it.board.id) };
    },
  ],
  [
    'the role of another link written into it',
    (_, { cookie }) => ({ cookie: cookie.replace('.join.', '.watch.') }),
  ],
])('[R20] an old cookie with %s opens nothing', async (_, forge) => {
  const it = await stage();
  const kept = await it.server.visit(it.board, 'join');
  const board = await renewed(it, 'join');
  const forged = await forge(it, kept, await it.server.visit(board, 'join'));
  expect(forged.cookie).not.toBe(kept.cookie);
  expect(await openTo(it.server, board, forged)).toEqual(SHUT);
});

test('[R20] a cookie of the program before this, which names no link, is good for whom the house knows and for nobody else', async () => {
  const it = await stage();
  for (const { me } of [it.leader, it.victim])
    expect(await openTo(it.server, it.board, olderCookie(it, me))).toEqual(openAs(me.role));
  for (const role of ROLES) {
    const unknown = olderCookie(it, await it.server.visit(it.board, role));
    expect(await openTo(it.server, it.board, unknown)).toEqual(SHUT);
    const { cookie } = await it.server.visit(it.board, role, unknown.cookie);
    expect(await openTo(it.server, it.board, { cookie })).toEqual(openAs(role));
  }
});

test('[R20] no board is loaded for a listener whose link was made new', async () => {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const it = await stage({ config, store, lingerMs: 0 });
  const board = await renewed(it, 'watch');
  for (const { peer } of [it.leader, it.victim, it.attacker, it.witness]) await peer.leave();
  await it.server.stop();
  const again = new SlowStore(new SqliteStore(config.dataDir));
  again.failWhen((what) => what === 'load');
  const next = await startTestServer({ config, store: again });
  expect(await openTo(next, board, it.witness.me)).toEqual(SHUT);
  expect(next.reports).toEqual([]);
  // It would be told if one were loaded.
  expect(await openTo(next, board, await next.visit(board, 'watch')).catch(() => 'loads')).toBe(
    'loads',
  );
});

test('[R1] while the store does not tell the present link, whoever the house knows comes in all the same, and nobody else', async () => {
  const it = await stage();
  const unused = await it.server.visit(it.board, 'join');
  const away = vi
    .spyOn(SqliteStore.prototype, 'presentLink')
    .mockRejectedValue(new StoreError('the database does not answer'));
  onTestFinished(() => away.mockRestore());
  const peer = await Peer.open(it.server, it.board, it.victim.me);
  await peer.until(() => peer.words.length > 0);
  expect(peer.words[0]).toMatchObject({ kind: 'welcome', role: 'join' });
  expect(await it.server.host.visitorOf(it.board.id, it.victim.me.cookie)).toMatchObject({
    participant: it.victim.me.participant,
  });
  await expect(Peer.open(it.server, it.board, unused)).rejects.toThrow('503');
  expect(it.server.reports).not.toEqual([]);
});
