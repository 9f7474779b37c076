import { expect, test } from 'vitest';
import type { BoardId } from '../../lib/units';
import type { PdfAnswer } from '../../server/host';
import { PrintDesk } from '../../server/print';

/** A desk with a printer that prints when the test says so. */
function desk() {
  const at: { readonly board: string; readonly print: () => void; readonly gone: AbortSignal }[] =
    [];
  const prints = new PrintDesk((url, gone) => {
    const printed: PdfAnswer = { ok: true, bytes: new TextEncoder().encode(url) };
    const board = new URL(url).pathname.split('/')[2] ?? '';
    return new Promise((done) => {
      gone.addEventListener('abort', () => done({ ok: false, status: 503, words: 'gone' }));
      at.push({ board, print: () => done(printed), gone });
    });
  });
  prints.openAt('http://here.example');
  const ask = (board: string, who: string, gone?: AbortSignal) =>
    prints.print({
      board: board as BoardId,
      who,
      query: new URLSearchParams('block=plain'),
      ...(gone ? { gone } : {}),
    });
  /** Waits until so many were begun. */
  const begun = (count: number) => expect.poll(() => at.length, { interval: 1 }).toBe(count);
  return { at, ask, begun };
}

test('one sheet is printed at a time, in the order in which they were asked for', async () => {
  const { at, ask, begun } = desk();
  const answers = [ask('a', 'Alder'), ask('b', 'Birch'), ask('c', 'Cedar')];
  for (const [index, answer] of answers.entries()) {
    await begun(index + 1);
    at[index]?.print();
    expect((await answer).ok).toBe(true);
  }
  expect(at.map(({ board }) => board)).toEqual(['a', 'b', 'c']);
});

test('who asks again and again has one place, and others get theirs', async () => {
  const { at, ask, begun } = desk();
  const first = ask('a', 'Alder');
  for (let again = 0; again < 10; again += 1)
    expect(await ask('a', 'Alder')).toMatchObject({ ok: false, status: 429, retryAfterSeconds: 5 });
  const other = ask('a', 'Birch');
  await begun(1);
  at[0]?.print();
  await first;
  // Back in the line, behind the one who came meanwhile.
  const next = ask('a', 'Alder');
  await begun(2);
  at[1]?.print();
  expect((await other).ok).toBe(true);
  await begun(3);
  at[2]?.print();
  expect((await next).ok).toBe(true);
});

test('one board takes no more than half of the places, and a full line is told so', async () => {
  const { ask, begun } = desk();
  void ask('a', 'Alder');
  void ask('a', 'Birch');
  const told = { ok: false, status: 503, retryAfterSeconds: 5 };
  expect(await ask('a', 'Cedar')).toMatchObject(told);
  void ask('b', 'Alder');
  void ask('b', 'Birch');
  expect(await ask('c', 'Alder')).toMatchObject(told);
  await begun(1);
});

test('who goes away while it is printed, or waits, lets the next one in', async () => {
  const { at, ask, begun } = desk();
  const [away, tired] = [new AbortController(), new AbortController()];
  const first = ask('a', 'Alder', away.signal);
  const second = ask('a', 'Birch', tired.signal);
  const third = ask('b', 'Cedar');
  await begun(1);
  tired.abort();
  away.abort();
  expect((await first).ok).toBe(false);
  expect((await second).ok).toBe(false);
  await begun(2);
  expect(at[1]?.board).toBe('b');
  at[1]?.print();
  expect((await third).ok).toBe(true);
});

test('a printer that breaks does not stop the line', async () => {
  let times = 0;
  const prints = new PrintDesk(() => {
    times += 1;
    if (times === 1) return Promise.reject(new Error('no paper'));
    return Promise.resolve({ ok: true, bytes: new Uint8Array() });
  });
  prints.openAt('http://here.example');
  const wish = { board: 'a' as BoardId, who: 'Alder', query: new URLSearchParams() };
  await expect(prints.print(wish)).rejects.toThrow('no paper');
  expect((await prints.print(wish)).ok).toBe(true);
});
