import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

const TOKEN = 'a token of the operator for tests';
let program: Program;
let demo: Links;
test.beforeAll(async () => {
  process.env.BACKUP_TOKEN = TOKEN;
  program = await startProgram();
  demo = await demoBoard(program);
});
test.afterAll(async () => {
  await program.end();
});

const CHUNKS = join(import.meta.dirname, '..', '..', '.next', 'static', 'chunks');

/** The first built file with this ending, as a page asks for it. */
function builtFile(ending: string): string {
  const name = readdirSync(CHUNKS).find((one) => one.endsWith(ending));
  if (name === undefined) throw new Error(`nothing was built that ends with ${ending}`);
  return `/_next/static/chunks/${name}`;
}

/**
 * What each answer says it is. Text has its character set beside it, but JSON, which knows one alone. Source: OWASP ASVS 5.0, 4.1.1;
 * RFC 8259, section 8.1; the names are those of the IANA media type registry (midi, wav: common practice, no source).
 */
test('every answer with a body says what it is and in which characters', async ({ browser }) => {
  const leader = await visitor(browser, `${program.url}${demo.links.lead}`);
  await leader.locator('[data-live]').waitFor();
  const html = 'text/html; charset=utf-8';
  const json = 'application/json';
  const board = `/b/${demo.board}`;
  const exports = `/api/boards/${demo.board}/export`;
  const answers: readonly (readonly [string, number, string])[] = [
    ['/', 200, html],
    ['/nowhere', 404, html],
    [board, 200, html],
    [`${board}/people`, 200, html],
    [`${board}/passes`, 200, html],
    [`${board}/past`, 200, html],
    [`${board}/play`, 200, html],
    [`${board}/practice`, 200, html],
    [`${board}/sheet`, 200, html],
    ['/b/nowherenoone', 200, html],
    [`${board}/play/book`, 200, json],
    [`${board}/play/music`, 404, 'text/plain;charset=utf-8'],
    [`${exports}/musicxml`, 200, 'application/vnd.recordare.musicxml+xml; charset=utf-8'],
    [`${exports}/abc`, 200, 'text/vnd.abc; charset=utf-8'],
    [`${exports}/midi`, 200, 'audio/midi'],
    [`${exports}/json`, 200, json],
    [`${exports}/wav`, 200, 'audio/wav'],
    [`${exports}/pdf`, 200, 'application/pdf'],
    [`${exports}/nothing`, 404, json],
    ['/api/boards/nowherenoone/export/abc', 403, json],
    ['/api/health', 200, json],
    ['/api/metrics', 200, 'text/plain; version=0.0.4; charset=utf-8'],
    ['/api/backup', 401, json],
    ['/sound/worklet.js', 200, 'text/javascript; charset=utf-8'],
    [builtFile('.js'), 200, 'application/javascript; charset=utf-8'],
    [builtFile('.css'), 200, 'text/css; charset=utf-8'],
  ];
  const found = [];
  for (const [path] of answers) {
    const answer = await leader.request.get(`${program.url}${path}`);
    const type = answer.headers()['content-type'] ?? '';
    found.push([path, answer.status(), type.replace('UTF-8', 'utf-8')]);
  }
  expect(found).toEqual(answers);
  const copy = await fetch(`${program.url}/api/backup`, {
    headers: { authorization: `Bearer ${TOKEN}` },
  });
  expect(copy.headers.get('content-type')).toBe('application/vnd.sqlite3');
  const refused = await fetch(`${program.url}/api/boards`, { method: 'POST', body: 'no JSON' });
  expect([refused.status, refused.headers.get('content-type')]).toEqual([400, json]);
});
