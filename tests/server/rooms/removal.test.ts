import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import type { MeasureId, ParticipantId, VariantId } from '../../../lib/units';
import { SqliteStore } from '../../../server/store/sqlite';
import { writeCalled, writeHidden } from '../../../shared/board/leading';
import { saidBy } from '../../../shared/board/roles';
import {
  writeAgreed,
  writeLocks,
  writeName,
  writeOverruled,
  writePointer,
} from '../../../shared/board/write';
import { syncFrame } from '../../../shared/wire/frame';
import { SYNC } from '../../../shared/wire/kind';
import type { Up } from '../../../shared/wire/up';
import { act, board, codes, documentsOf, propose, remove } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import type { Actor, Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';
import { SlowStore } from '../../kit/stores';

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

function isIn(folder: string, text: string): boolean {
  return readdirSync(folder).some((file) => readFileSync(join(folder, file)).includes(text));
}

test('[R17] what leaders wrote about somebody who is gone leaves the disk with the next start, where a server ended before it could take it away', async () => {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const it = await stage({ config, store });
  const { participant } = it.victim.me;
  it.leader.peer.edit('lead', (doc) => writeCalled(doc, participant, 'Quittenvogel'));
  await it.leader.peer.settled();
  store.failWhen((what) => what === 'compact');
  await remove(it);
  await it.server.stop();
  expect(isIn(config.dataDir, 'Quittenvogel')).toBe(true);
  const next = await startTestServer({ config, lingerMs: 60_000 });
  expect(await next.host.readBoard(it.board.id)).toBeDefined();
  const isGone = () => !isIn(config.dataDir, 'Quittenvogel');
  await eventually(isGone, 'nothing is on the disk while the next server goes on');
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
  const inFolder = (text: string) => isIn(it.server.config.dataDir, text);
  expect([name, called, note].map(inFolder)).toEqual([true, true, true]);
  await remove(it);
  const gone = () => ![name, called, note].some(inFolder);
  await eventually(gone, 'nothing is on the disk while the server goes on');
  await it.server.stop();
  expect([name, called, note].map(inFolder)).toEqual([false, false, false]);
});

/** What leaders order about somebody's variant, and a plan that plays it. */
function ordersAbout(doc: Y.Doc, { me, peer }: Actor, variant: VariantId, name: string): void {
  const strokes = peer.sees?.tune.parts[0]?.measures[0]?.strokes ?? [];
  writeCalled(doc, me.participant, name);
  writeHidden(doc, variant, true);
  writeOverruled(doc, 'm1' as MeasureId, variant);
  const cell = { kind: 'cell', pass: 1, measure: 'm1' as MeasureId, choice: variant } as const;
  writeLocks(doc, [cell]);
  writePointer(doc, { measure: 'm1' as MeasureId, variant });
  writeAgreed(doc, {
    passes: [{ m1: variant, m2: 'plain' }, {}],
    variants: { [variant]: { measure: 'm1' as MeasureId, strokes, by: name } },
  });
}

test('[R17] leaders have ordered nothing any more about somebody who is gone, and the plan plays the plain measure where it played theirs', async () => {
  const it = await stage();
  const variant = (await propose(it.victim, 3)) as VariantId;
  it.leader.peer.edit('lead', (doc) => ordersAbout(doc, it.victim, variant, 'Quittenvogel'));
  await it.leader.peer.settled();
  expect((await board(it))?.plan?.passes[0]?.m1).toBe(variant);
  await remove(it);
  const seen = await board(it);
  expect(seen?.plan).toEqual({ passes: [{ m1: 'plain', m2: 'plain' }, {}], variants: {} });
  expect(seen?.voting).toBe('agreed');
  expect(seen?.pointer).toEqual({ measure: 'm1' });
  const lead = JSON.stringify(it.leader.peer.family.lead.toJSON());
  expect(lead).not.toContain(it.victim.me.participant);
});

test('[R17] a leader who was away while somebody was removed brings nothing of them back with what they wrote meanwhile', async () => {
  const it = await stage();
  const variant = (await propose(it.victim, 3)) as VariantId;
  const away = await it.server.visit(it.board, 'lead');
  const peer = await Peer.joined(it.server, it.board, away);
  await peer.leave();
  await remove(it);
  const { lead } = peer.family;
  ordersAbout(lead, it.victim, variant, 'Quittenvogel');
  const back = await Peer.joined(it.server, it.board, away);
  back.send(syncFrame('lead', SYNC.step2, Y.encodeStateAsUpdate(lead)));
  await back.settled();
  await it.leader.peer.settled();
  expect((await board(it))?.pointer).toEqual({ measure: 'm1' });
  for (const one of [it.leader.peer, back]) {
    const text = JSON.stringify(one.family.lead.toJSON());
    expect(text).not.toContain(it.victim.me.participant);
    expect(text).not.toContain('Quittenvogel');
  }
  const { dataDir } = it.server.config;
  const inFolder = () =>
    readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes('Quittenvogel'));
  await eventually(() => !inFolder(), 'nothing is on the disk');
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
