import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { CODE_LIFE, MAX_CODE_TRIES } from '../../../server/limits';
import {
  writeCalled,
  writeFrozen,
  writeHidden,
  writeSecretBallots,
  writeShut,
  writeVotingClosed,
} from '../../../shared/board/leading';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import {
  writeApproval,
  writeName,
  writePasses,
  writeVotingOpen,
} from '../../../shared/board/write';
import { syncFrame, wordFrame } from '../../../shared/wire/frame';
import { SYNC } from '../../../shared/wire/kind';
import { act, board, codes, documentsOf, propose, remove } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import type { Actor, Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';

test('[R18] secret ballots go to nobody but their owners, leaders included: not at the time, not on asking, not to newcomers, not on pages', async () => {
  const it = await stage();
  it.leader.peer.edit('lead', (doc) => writeSecretBallots(doc, true));
  await it.leader.peer.settled();
  const { me, peer } = it.victim;
  const name = ballotOf(me.participant);
  const second = await Peer.joined(it.server, it.board, me);
  await second.settled();
  for (const other of [it.leader, it.attacker, it.witness]) other.peer.frames.length = 0;
  peer.edit(name, (doc) => writeApproval(doc, 'plain:m2', true));
  await peer.settled();
  await second.until(() => second.sees?.approvals[me.participant] === undefined);
  expect(second.family.open(name).getMap('approvals').has('plain:m2')).toBe(true);
  for (const other of [it.leader, it.attacker, it.witness]) {
    other.peer.send(syncFrame(name, SYNC.step1, new Uint8Array([0])));
    await other.peer.settled();
    expect(codes(other)).toEqual(['held-back']);
    expect(documentsOf(other.peer, me.participant)).toEqual([]);
  }
  const newcomer = await Peer.joined(it.server, it.board, await it.server.visit(it.board, 'lead'));
  await newcomer.settled();
  expect(documentsOf(newcomer, me.participant)).not.toContain(name);
  const { host } = it.server;
  expect((await host.readBoard(it.board.id, it.leader.me.participant))?.approvals).toEqual({});
  const saved = await host.exportFile(it.board.id, { format: 'json' });
  expect(saved?.ok && saved.value.body).toMatch(/"approvals"/);
  expect(saved?.ok && saved.value.body).not.toContain('plain:m');
  expect((await host.readBoard(it.board.id, me.participant))?.approvals).toEqual({
    [me.participant]: ['plain:m1', 'plain:m2'],
  });
});

test('[R18] when voting closes the ballots come, as they were at that moment, and no vote is taken after', async () => {
  const it = await stage();
  it.leader.peer.edit('lead', (doc) => writeSecretBallots(doc, true));
  await it.leader.peer.settled();
  const { me, peer } = it.victim;
  peer.edit(ballotOf(me.participant), (doc) => writeApproval(doc, 'plain:m2', true));
  await peer.settled();
  it.leader.peer.edit('lead', writeVotingClosed);
  await it.witness.peer.until(() => it.witness.peer.sees?.approvals[me.participant]?.length === 2);
  await it.leader.peer.settled();
  peer.edit(ballotOf(me.participant), (doc) => writeApproval(doc, 'plain:m3', true));
  await peer.settled();
  expect(codes(it.victim)).toEqual(['voting-closed']);
  expect(it.leader.peer.sees?.approvals[me.participant]).toEqual(['plain:m1', 'plain:m2']);
  expect(it.leader.peer.sees?.voting).toBe('closed');
});

test('[R19] a frozen board takes nothing but from leaders, and what waited is fetched when it goes on', async () => {
  const it = await stage();
  it.leader.peer.edit('lead', (doc) => writeFrozen(doc, true));
  await it.leader.peer.settled();
  const { me, peer } = it.victim;
  peer.edit(saidBy(me.participant), (doc) => writeName(doc, 'Sorrel'));
  peer.edit(ballotOf(me.participant), (doc) => writeApproval(doc, 'plain:m2', true));
  await peer.settled();
  expect(codes(it.victim)).toEqual(['frozen', 'frozen']);
  it.leader.peer.edit('lead', (doc) => writePasses(doc, 7));
  await it.leader.peer.settled();
  expect(codes(it.leader)).toEqual([]);
  const asked = () =>
    peer.frames.flatMap((frame) =>
      frame.kind === 'sync' && frame.step === SYNC.step1 ? [frame.document] : [],
    );
  const before = asked().length;
  it.leader.peer.edit('lead', (doc) => writeFrozen(doc, false));
  await peer.until(() => asked().length === before + 2);
  expect(asked().slice(before)).toEqual([saidBy(me.participant), ballotOf(me.participant)]);
  for (const name of [saidBy(me.participant), ballotOf(me.participant)])
    peer.send(syncFrame(name, SYNC.step2, Y.encodeStateAsUpdate(peer.family.open(name))));
  await peer.settled();
  const seen = await board(it);
  expect(seen?.people.find(({ id }) => id === me.participant)?.name).toBe('Sorrel');
  expect(seen?.approvals[me.participant]).toEqual(['plain:m1', 'plain:m2']);
});

test('[R2] hiding, shutting and renaming can be seen, count for everybody and can be taken back', async () => {
  const it = await stage();
  const lead = it.leader.peer;
  const measure = lead.sees?.tune.parts[0]?.measures[0]?.id;
  if (!measure) throw new Error('the demo has a first measure');
  const early = await propose(it.victim, 3);
  lead.edit('lead', (doc) => writeShut(doc, lead.family.house, measure, true));
  await lead.settled();
  const late = await propose(it.attacker, 4);
  const ids = async () => (await board(it))?.variants.map(({ id }) => id as string) ?? [];
  expect(await ids()).toContain(early);
  expect(await ids()).not.toContain(late);
  expect((await board(it))?.orders.shut).toEqual([measure]);
  lead.edit('lead', (doc) => {
    writeShut(doc, lead.family.house, measure, false);
    writeHidden(doc, early as never, true);
    writeCalled(doc, it.victim.me.participant, 'Ms Alder');
  });
  await lead.settled();
  expect(await ids()).toContain(late);
  expect(await ids()).not.toContain(early);
  const ordered = await board(it);
  expect(ordered?.orders.hidden.map(({ id }) => id)).toEqual([early]);
  expect(ordered?.people.find(({ id }) => id === it.victim.me.participant)?.name).toBe('Ms Alder');
  lead.edit('lead', (doc) => {
    writeHidden(doc, early as never, false);
    writeCalled(doc, it.victim.me.participant, '');
    writeVotingClosed(doc);
    writeVotingOpen(doc);
  });
  await lead.settled();
  const after = await board(it);
  expect(await ids()).toContain(early);
  expect(after?.people.find(({ id }) => id === it.victim.me.participant)?.name).toBe('Alder');
  expect(after?.voting).toBe('open');
});

test('[R20] a new link is told to the leader alone, and the old one opens nothing', async () => {
  const it = await stage();
  act(it.leader, { kind: 'renew-link', role: 'join' });
  const told = () => it.leader.peer.words.find((word) => word.kind === 'new-link');
  await it.leader.peer.until(() => told() !== undefined);
  const word = told();
  if (word?.kind !== 'new-link') throw new Error('no link was told');
  expect(word.role).toBe('join');
  const secret = word.path.replace('/join/', '');
  const { host } = it.server;
  expect(await host.openLink(it.board.secrets.join, undefined)).toBeUndefined();
  expect(await host.openLink(secret, undefined)).toMatchObject({ role: 'join' });
  expect(await host.openLink(it.board.secrets.watch, undefined)).toMatchObject({ role: 'watch' });
  await expect(Peer.open(it.server, it.board, { key: it.board.secrets.join })).rejects.toThrow(
    '401',
  );
  await it.attacker.peer.settled();
  expect(it.attacker.peer.words.filter(({ kind }) => kind === 'new-link')).toEqual([]);
  expect((await board(it))?.renewed.map(({ role }) => role)).toEqual(['join']);
});

async function codeFor(actor: Actor): Promise<string> {
  actor.peer.frames.length = 0;
  act(actor, { kind: 'ask-code' });
  const told = () => actor.peer.words.find((word) => word.kind === 'code');
  await actor.peer.until(() => told() !== undefined);
  const word = told();
  if (word?.kind !== 'code') throw new Error('no code was told');
  return word.code;
}

test('[R21] a code makes a second browser the same person, once, and who it was before is forgotten if silent', async () => {
  const it = await stage();
  const { host } = it.server;
  const second = await it.server.visit(it.board, 'join');
  await (await Peer.joined(it.server, it.board, second)).leave();
  it.leader.peer.edit('lead', (doc) => writeCalled(doc, second.participant, 'Quittenvogel'));
  await it.leader.peer.settled();
  const code = await codeFor(it.victim);
  const used = await host.openCode(it.board.id, ` ${code.toUpperCase()} `, second.cookie);
  if (!used.ok) throw new Error(used.problems[0]?.words);
  const cookie = used.value.setCookie.split(';')[0] ?? '';
  expect(await host.visitorOf(it.board.id, cookie)).toEqual({
    participant: it.victim.me.participant,
    role: 'join',
  });
  expect((await board(it))?.people.map(({ id }) => id)).not.toContain(second.participant);
  await it.leader.peer.settled();
  expect(JSON.stringify(it.leader.peer.family.lead.toJSON())).not.toContain(second.participant);
  expect(await host.openCode(it.board.id, code, undefined)).toMatchObject({ ok: false });
});

/** Tries a code from an address. */
async function tried(it: Stage, code: string, address: string, id = it.board.id) {
  const used = await it.server.host.openCode(id, code, undefined, address);
  return used.ok ? 'opens' : used.problems[0]?.code;
}

test('[R21] a code opens no other board, not after its time, and not when another was asked for', async () => {
  let now = 1_000_000;
  const it = await stage({ now: () => now });
  const other = await it.server.create();
  const first = await codeFor(it.victim);
  expect(await tried(it, first, '192.0.2.1', other.id)).toBe('unknown');
  const next = await codeFor(it.victim);
  expect(await tried(it, first, '192.0.2.1')).toBe('unknown');
  now += CODE_LIFE + 1;
  expect(await tried(it, next, '192.0.2.1')).toBe('unknown');
});

test('[R21] whoever tries wrong codes shuts nobody out but their own network, and that for ten minutes', async () => {
  let now = 1_000_000;
  const it = await stage({ now: () => now });
  const all = await Promise.all(
    Array.from({ length: MAX_CODE_TRIES + 50 }, (_, at) => tried(it, `wrong ${at}`, '192.0.2.1')),
  );
  expect(all.filter((told) => told === 'unknown')).toHaveLength(MAX_CODE_TRIES);
  const code = await codeFor(it.victim);
  expect(await tried(it, code, '192.0.2.1')).toBe('wait');
  expect(await tried(it, code, '192.0.2.2')).toBe('opens');
  now += CODE_LIFE + 1;
  expect(await tried(it, await codeFor(it.victim), '192.0.2.1')).toBe('opens');
});

test('[R21] codes that were right do not count', async () => {
  const it = await stage();
  for (let turn = 0; turn < MAX_CODE_TRIES + 1; turn += 1)
    expect(await tried(it, await codeFor(it.victim), '192.0.2.1')).toBe('opens');
});

test('[R21] a code of somebody who was removed opens nothing', async () => {
  const it = await stage();
  const code = await codeFor(it.victim);
  await remove(it);
  expect(await it.server.host.openCode(it.board.id, code, undefined)).toMatchObject({ ok: false });
  await eventually(() => it.server.host.health().sockets === 3, 'their socket is closed');
});

test('[R21] a code gives nobody back the role of who they were and are no longer: not who was sent away, not who left', async () => {
  const it = await stage();
  const { host } = it.server;
  const opened = async (code: string, cookie: string) => {
    const used = await host.openCode(it.board.id, code, cookie);
    const set = used.ok ? (used.value.setCookie.split(';')[0] ?? '') : undefined;
    return set === undefined ? 'nothing' : (await host.visitorOf(it.board.id, set))?.role;
  };
  const [sentAway, left] = [
    await it.server.visit(it.board, 'lead'),
    await it.server.visit(it.board, 'lead'),
  ];
  await (await Peer.joined(it.server, it.board, sentAway)).settled();
  act(it.leader, { kind: 'remove-person', participant: sentAway.participant });
  const leaving = await Peer.joined(it.server, it.board, left);
  leaving.send(wordFrame({ kind: 'take-out-mine' }));
  await leaving.until(() => leaving.closed !== undefined);
  await it.leader.peer.settled();
  const code = await codeFor(it.victim);
  expect(await opened(code, sentAway.cookie)).toBe('nothing');
  // The code is not used up by who may not use it.
  expect(await opened(code, left.cookie)).toBe('join');
  act(it.leader, { kind: 'let-back', participant: sentAway.participant });
  await it.leader.peer.settled();
  expect(await opened(await codeFor(it.victim), sentAway.cookie)).toBe('join');
});
