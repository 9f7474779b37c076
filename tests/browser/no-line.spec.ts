import { once } from 'node:events';
import { WebSocket } from 'ws';
import { MAX_SOCKETS_A_PERSON } from '../../server/limits';
import { expect, test } from '../kit/browser-test';
import { demoBoard, visitor } from '../kit/demo-visit';
import { startProgram } from '../kit/program';

for (const place of ['', '/people', '/play'])
  test(`a page of the board${place} that is not let in says so, and comes in by itself when there is room`, async ({
    browser,
  }) => {
    const program = await startProgram();
    try {
      const { board, links } = await demoBoard(program);
      const student = await visitor(browser, program.url + links.join);
      await student.locator('[data-live]').waitFor();
      // A page of ours that opens no line.
      await student.goto(`${program.url}/`);
      const cookies = await student.context().cookies();
      const cookie = cookies.map(({ name, value }) => `${name}=${value}`).join('; ');
      const line = `${program.url.replace('http', 'ws')}/sync/${board}`;
      const mine = Array.from(
        { length: MAX_SOCKETS_A_PERSON },
        () => new WebSocket(line, { headers: { cookie } }),
      );
      await Promise.all(mine.map((socket) => once(socket, 'open')));
      await student.goto(`${program.url}/b/${board}${place}`);
      const words = student.getByText('No line to the board can be opened yet');
      await expect(words).toBeVisible();
      for (const socket of mine) socket.close();
      await expect(words).toBeHidden();
    } finally {
      await program.end();
    }
  });
