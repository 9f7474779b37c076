import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import type { ParticipantId } from '../../../lib/units';
import { CODE_LIFE, MAX_CODE_TRIES } from '../../../server/limits';
import {
  writeCalled,
  writeFrozen,
  writeHidden,
  writeSecretBallots,
  writeShut,
  writeVotingClosed,
} from '../../../shared/board/leading';
import type { DocumentName } from '../../../shared/board/roles';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import {
  writeAgreed,
  writeApproval,
  writeName,
  writePasses,
  writeProposal,
  writeVotingOpen,
} from '../../../shared/board/write';
import { syncFrame, wordFrame } from '../../../shared/wire/frame';
import { SYNC } from '../../../shared/wire/kind';
import type { Up } from '../../../shared/wire/up';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import type { Actor, Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';

const act = ({ peer }: Pick<Actor, 'peer'>, word: Up) => peer.send(wordFrame(word));
const codes = ({ peer }: Pick<Actor, 'peer'>) => peer.refusals.map(({ code }) => code);
const documentsOf = (peer: Peer, id: ParticipantId): readonly DocumentName[] =>
  peer.frames.flatMap((frame) =>
    frame.kind === 'sync' && frame.document.endsWith(id) ? [frame.document as DocumentName] : [],
  );

/** Puts a variant of the first measure forward and waits until it is kept. */
async function propose({ me, peer }: Actor, strokes: number, note = ''): Promise<string> {
  const measure = peer.sees?.tune.parts[0]?.measures[0];
  if (!measure) throw new Error('the demo has a first measure');
  let id = '';
  peer.edit(saidBy(me.participant), (doc) => {
    id = writeProposal(doc, me.participant, {
      measure: measure.id,
      strokes: measure.strokes.slice(0, strokes),
      note,
    });
  });
  await peer.settled();
  return id;
}

async function remove(it: Stage, actor: Actor = it.victim): Promise<void> {
  act(it.leader, { kind: 'remove-person', participant: actor.me.participant });
  await actor.peer.until(() => actor.peer.closed !== undefined);
  await it.leader.peer.settled();
}

const board = ({ server, board: { id } }: Stage) => server.host.readBoard(id);

test('[R17] who is removed is told, closed with 4403, and gone from the board with words, variants and votes', async () => {
  const it = await stage();
  const id = it.victim.me.participant;
  const variant = await propose(it.victim, 3);
  await remove(it);
  expect(it.victim.peer.closed?.code).toBe(4403);
  expect(codes(it.victim)).toEqual(['removed']);
  const seen = await board(it);
  expect(seen?.people.map((person) => person.id)).not.toContain(id);
  expect(seen?.variants.map((one) => one.id)).not.toContain(variant);
  expect(seen?.approvals[id]).toBeUndefined();
  expect(seen?.gone.map((gone) => [gone.id, gone.back])).toEqual([[id, false]]);
  const newcomer = await Peer.joined(it.server, it.board, await it.server.visit(it.board, 'watch'));
  await newcomer.settled();
  expect(documentsOf(newcomer, id)).toEqual([]);
});

test('[R17] a replica that was away while somebody was removed lets go of what it held of them', async () => {
  const it = await stage();
  const id = it.victim.me.participant;
  await it.witness.peer.leave();
  await remove(it);
  expect(it.witness.peer.sees?.approvals[id]).toBeDefined();
  const back = await Peer.joined(it.server, it.board, it.witness.me);
  await back.settled();
  Y.applyUpdate(it.witness.peer.family.house, Y.encodeStateAsUpdate(back.family.house));
  expect(it.witness.peer.sees?.approvals[id]).toBeUndefined();
  expect(it.witness.peer.sees?.people.map((person) => person.id)).not.toContain(id);
});

test('[R17] nothing of somebody who is gone can be found in the data folder, not even their name in the plan', async () => {
  const it = await stage();
  const [name, called, note] = ['Zinnobermeise', 'Quittenvogel', 'Bernsteinfink'];
  const { participant } = it.victim.me;
  it.victim.peer.edit(saidBy(participant), (doc) => writeName(doc, name));
  const variant = await propose(it.victim, 3, note);
  const planned = { measure: 'm1', strokes: [], by: name } as never;
  it.leader.peer.edit('lead', (doc) => {
    writeCalled(doc, participant, called);
    writeHidden(doc, variant as never, true);
    writeAgreed(doc, { passes: [{}], variants: { [variant]: planned } });
  });
  await it.leader.peer.settled();
  const inFolder = (text: string) =>
    readdirSync(it.server.config.dataDir).some((file) =>
      readFileSync(join(it.server.config.dataDir, file)).includes(text),
    );
  expect([name, called, note].map(inFolder)).toEqual([true, true, true]);
  await remove(it);
  await it.server.stop();
  expect([name, called, note].map(inFolder)).toEqual([false, false, false]);
});

test('[R17] what had been sent by somebody who was then removed does not come back: not by replay, by another, or by their offline copy', async () => {
  const it = await stage();
  const { participant } = it.victim.me;
  const said = saidBy(participant);
  const replay = Y.encodeStateAsUpdate(it.victim.peer.family.open(said));
  await remove(it);
  for (const { peer } of [it.leader, it.attacker, it.witness])
    for (const step of [SYNC.update, SYNC.step2] as const) peer.send(syncFrame(said, step, replay));
  for (const actor of [it.leader, it.attacker, it.witness]) {
    await actor.peer.settled();
    expect(codes(actor)).toEqual(['no-such-document', 'no-such-document']);
  }
  const again = await Peer.open(it.server, it.board, it.victim.me);
  await again.until(() => again.closed !== undefined);
  expect(again.closed?.code).toBe(4403);
  expect(again.frames.filter(({ kind }) => kind === 'sync')).toEqual([]);
  const raised = await Peer.open(
    it.server,
    it.board,
    { key: it.board.secrets.lead },
    { cookie: it.victim.me.cookie },
  );
  await raised.until(() => raised.closed !== undefined);
  expect(raised.closed?.code).toBe(4403);
  expect((await board(it))?.people.map(({ id }) => id)).not.toContain(participant);
});

test('[R17] an edit that is on its way to the disk when its author is removed is not kept', async () => {
  const it = await stage();
  const { participant } = it.victim.me;
  it.victim.peer.edit(saidBy(participant), (doc) => writeName(doc, 'Zinnobermeise'));
  act(it.leader, { kind: 'remove-person', participant });
  await it.victim.peer.until(() => it.victim.peer.closed !== undefined);
  await it.leader.peer.settled();
  await it.server.stop();
  const folder = it.server.config.dataDir;
  for (const file of readdirSync(folder))
    expect(readFileSync(join(folder, file)).includes('Zinnobermeise')).toBe(false);
});

test('[R17] pages, exports and links are shut to who was sent away, until a leader lets them back as somebody new', async () => {
  const it = await stage();
  const { me } = it.victim;
  const { host } = it.server;
  await remove(it);
  expect(await host.readBoard(it.board.id, me.participant)).toBeUndefined();
  expect(await host.mayRead(it.board.id, me.cookie, undefined)).toBe(false);
  expect(await host.mayRead(it.board.id, me.cookie, it.board.secrets.join)).toBe(false);
  expect(await host.openLink(it.board.secrets.join, me.cookie)).toBeUndefined();
  act(it.leader, { kind: 'let-back', participant: me.participant });
  await it.leader.peer.settled();
  expect(await host.mayRead(it.board.id, me.cookie, undefined)).toBe(false);
  const back = await it.server.visit(it.board, 'join', me.cookie);
  expect(back.participant).not.toBe(me.participant);
  const peer = await Peer.joined(it.server, it.board, back);
  peer.edit(saidBy(back.participant), (doc) => writeName(doc, 'Alder again'));
  await peer.settled();
  expect((await board(it))?.people.map(({ name }) => name)).toContain('Alder again');
});

test('[R17] anybody takes out what is theirs, and may come back as somebody new', async () => {
  const it = await stage();
  const { me, peer } = it.victim;
  act(it.victim, { kind: 'take-out-mine' });
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(4403);
  const seen = await board(it);
  expect(seen?.people.map(({ id }) => id)).not.toContain(me.participant);
  expect(seen?.gone).toMatchObject([{ id: me.participant, back: true }]);
  const back = await it.server.visit(it.board, 'join', me.cookie);
  expect(back.participant).not.toBe(me.participant);
});

test.each<readonly [string, 'attacker' | 'witness' | 'leader', (it: Stage) => Up, string]>([
  [
    'a student removes',
    'attacker',
    (it) => ({ kind: 'remove-person', participant: it.victim.me.participant }),
    'leaders-only',
  ],
  [
    'a watcher removes',
    'witness',
    (it) => ({ kind: 'remove-person', participant: it.victim.me.participant }),
    'leaders-only',
  ],
  [
    'a student makes a link new',
    'attacker',
    () => ({ kind: 'renew-link', role: 'lead' }),
    'leaders-only',
  ],
  [
    'a student lets somebody back',
    'attacker',
    (it) => ({ kind: 'let-back', participant: it.victim.me.participant }),
    'leaders-only',
  ],
  [
    'a leader removes somebody who is not there',
    'leader',
    () => ({ kind: 'remove-person', participant: 'zzzzzzzzzzzz' as ParticipantId }),
    'nobody-there',
  ],
  [
    'a leader removes themselves',
    'leader',
    (it) => ({ kind: 'remove-person', participant: it.leader.me.participant }),
    'nobody-there',
  ],
  [
    'a leader lets somebody back who was never away',
    'leader',
    (it) => ({ kind: 'let-back', participant: it.victim.me.participant }),
    'nobody-there',
  ],
  ['a watcher asks for a code', 'witness', () => ({ kind: 'ask-code' }), 'nobody-there'],
  [
    'a watcher takes out what they do not have',
    'witness',
    () => ({ kind: 'take-out-mine' }),
    'nobody-there',
  ],
])('[R17] %s: refused, and nothing happens', async (_, who, word, code) => {
  const it = await stage();
  const before = await board(it);
  act(it[who], word(it));
  await it[who].peer.settled();
  expect(codes(it[who])).toEqual([code]);
  expect(await board(it)).toEqual(before);
});

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
  expect(await host.exportJson(it.board.id)).not.toContain('plain:m');
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
  const code = await codeFor(it.victim);
  const used = await host.openCode(it.board.id, ` ${code.toUpperCase()} `, second.cookie);
  if (!used.ok) throw new Error(used.problems[0]?.words);
  const cookie = used.value.setCookie.split(';')[0] ?? '';
  expect(host.sessionOf(it.board.id, cookie)).toEqual({
    participant: it.victim.me.participant,
    role: 'join',
  });
  expect((await board(it))?.people.map(({ id }) => id)).not.toContain(second.participant);
  expect(await host.openCode(it.board.id, code, undefined)).toMatchObject({ ok: false });
});

test('[R21] a code opens no other board, not after its time, not when another was asked for, and not after many wrong ones', async () => {
  let now = 1_000_000;
  const it = await stage({ now: () => now });
  const other = await it.server.create();
  const { host } = it.server;
  const tryCode = async (code: string, id = it.board.id) => {
    const used = await host.openCode(id, code, undefined);
    return used.ok ? 'opens' : used.problems[0]?.code;
  };
  const first = await codeFor(it.victim);
  expect(await tryCode(first, other.id)).toBe('unknown');
  const next = await codeFor(it.victim);
  expect(await tryCode(first)).toBe('unknown');
  now += CODE_LIFE + 1;
  expect(await tryCode(next)).toBe('unknown');
  const third = await codeFor(it.victim);
  for (let turn = 0; turn < MAX_CODE_TRIES; turn += 1) await tryCode(`wrong ${turn}`);
  expect(await tryCode(third)).toBe('wait');
  now += CODE_LIFE + 1;
  expect(await tryCode(await codeFor(it.victim))).toBe('opens');
});

test('[R21] a code of somebody who was removed opens nothing', async () => {
  const it = await stage();
  const code = await codeFor(it.victim);
  await remove(it);
  expect(await it.server.host.openCode(it.board.id, code, undefined)).toMatchObject({ ok: false });
  await eventually(() => it.server.host.health().sockets === 3, 'their socket is closed');
});
