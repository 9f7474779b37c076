import { expect, test } from 'vitest';
import { awarenessFrame } from '../../../shared/wire/frame';
import { Peer } from '../../kit/peers';
import { here, presenceOf } from '../../kit/presence';
import type { Visitor } from '../../kit/server';
import { startTestServer } from '../../kit/server';

async function twoPeople() {
  const server = await startTestServer();
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const you = await server.visit(board, 'watch');
  return {
    server,
    board,
    me,
    you,
    mine: await Peer.joined(server, board, me),
    yours: await Peer.joined(server, board, you),
  };
}

test('[R12] others see who is here and what they look at, newcomers too, until the socket closes', async () => {
  const { server, board, me, mine, yours } = await twoPeople();
  const state = { participant: me.participant, measure: 'm3' };
  mine.send(presenceOf({ client: 7, clock: 1, state }));
  await yours.until(() => 7 in here(yours));
  expect(here(yours)).toEqual({ 7: state });
  const late = await Peer.joined(server, board, await server.visit(board, 'watch'));
  expect(here(late)).toEqual({ 7: state });
  await mine.leave();
  await yours.until(() => !(7 in here(yours)));
});

test('[R12] what does not fit the shape of a presence is left away from what is passed on', async () => {
  const { me, mine, yours } = await twoPeople();
  const state = { participant: me.participant, html: '<b>hello</b>', measure: 'm1' };
  mine.send(presenceOf({ client: 7, clock: 1, state }));
  await yours.until(() => 7 in here(yours));
  expect(here(yours)).toEqual({ 7: { participant: me.participant, measure: 'm1' } });
});

const speak = ({ participant }: Visitor) => ({ participant });

test.each<readonly [string, (me: Visitor, you: Visitor) => Uint8Array]>([
  ["another's name", (_, you) => presenceOf({ client: 7, clock: 9, state: speak(you) })],
  ["another's client", (me) => presenceOf({ client: 5, clock: 9, state: speak(me) })],
  ["another's end", () => presenceOf({ client: 5, clock: 9, state: null })],
  [
    'what one has heard oneself',
    (_, you) => presenceOf({ client: 5, clock: 3, state: speak(you) }),
  ],
])(
  '[R12] %s counts for nothing, and is not answered: providers send back what they hear',
  async (_, frameOf) => {
    const { me, you, mine, yours } = await twoPeople();
    yours.send(presenceOf({ client: 5, clock: 3, state: speak(you) }));
    await mine.until(() => 5 in here(mine));
    mine.send(frameOf(me, you));
    await mine.heard();
    await yours.heard();
    expect(mine.refusals).toEqual([]);
    expect(here(yours)).toEqual({ 5: { participant: you.participant } });
  },
);

test("[R12] one's own state counts beside those that do not", async () => {
  const { me, you, mine, yours } = await twoPeople();
  mine.send(
    presenceOf(
      { client: 7, clock: 1, state: speak(me) },
      { client: 8, clock: 1, state: speak(you) },
    ),
  );
  await yours.until(() => 7 in here(yours));
  expect(here(yours)).toEqual({ 7: { participant: me.participant } });
});

test.each<readonly [string, 'unreadable' | 'not-yours', (me: Visitor) => Uint8Array]>([
  [
    'three clients at once',
    'not-yours',
    (me) => presenceOf(...[7, 8, 9].map((client) => ({ client, clock: 1, state: speak(me) }))),
  ],
  ['no presence', 'unreadable', () => presenceOf({ client: 7, clock: 1, state: { user: 1 } })],
  ['no JSON', 'unreadable', () => presenceOf({ client: 7, clock: 1, state: '{' })],
  [
    'a clock without measure',
    'unreadable',
    (me) => presenceOf({ client: 7, clock: 2 ** 40, state: speak(me) }),
  ],
  [
    'too much',
    'unreadable',
    (me) => presenceOf({ client: 7, clock: 1, state: { ...speak(me), note: 'x'.repeat(70_000) } }),
  ],
  ['nothing but a count', 'unreadable', () => awarenessFrame(new Uint8Array([200]))],
])('[R12] %s is dropped and told %s', async (_, code, frameOf) => {
  const { me, mine, yours } = await twoPeople();
  mine.send(frameOf(me));
  await mine.heard();
  await yours.heard();
  expect(mine.refusals.map((refusal) => refusal.code)).toEqual([code]);
  expect(here(yours)).toEqual({});
});

test('[R12] the same person on a new socket takes over from the old one, whose end then ends nothing', async () => {
  const { server, board, me, mine, yours } = await twoPeople();
  mine.send(presenceOf({ client: 7, clock: 1, state: speak(me) }));
  await yours.until(() => 7 in here(yours));
  const again = await Peer.joined(server, board, me);
  again.send(presenceOf({ client: 7, clock: 2, state: { ...speak(me), measure: 'm2' } }));
  await again.heard();
  await mine.leave();
  await yours.heard();
  expect(here(yours)).toEqual({ 7: { participant: me.participant, measure: 'm2' } });
});
