import { describe, expect, onTestFinished, test } from 'vitest';
import type { Fanout } from '../../../server/fanout/fanout';
import { eventually } from '../../kit/provider';

/** Opens the lines of so many nodes. */
export type OpenLines = (count: number) => Promise<readonly Fanout[]>;

async function opened(open: OpenLines, count: number): Promise<readonly Fanout[]> {
  const lines = await open(count);
  onTestFinished(async () => {
    for (const line of lines) await line.close();
  });
  return lines;
}

function lineAt(lines: readonly Fanout[], index: number): Fanout {
  const line = lines[index];
  if (!line) throw new RangeError(`no line ${index}`);
  return line;
}

/** What any fan-out must do, also that of a node that is alone. */
export function fanoutConforms(name: string, open: OpenLines): void {
  describe(`fan-out, ${name}`, () => {
    test('nobody has to listen, and to end listening twice ends it once', async () => {
      const [line] = await opened(open, 1);
      line?.say('board', new Uint8Array([1]));
      const end = line?.listen('board', () => undefined);
      end?.();
      end?.();
      line?.say('board', new Uint8Array([2]));
    });

    test('after it is closed it says nothing, and nobody is thrown anything', async () => {
      const [line] = await opened(open, 1);
      const heard: Uint8Array[] = [];
      line?.listen('board', (message) => heard.push(message));
      await line?.close();
      line?.say('board', new Uint8Array([1]));
      line?.listen('other', () => undefined)();
      await line?.close();
      expect(heard).toEqual([]);
    });
  });
}

/** What a fan-out between several nodes must do. */
export function fanoutReaches(name: string, open: OpenLines): void {
  /** Listens, and waits until what is said at any line is heard: a server needs a moment until it knows its listeners. */
  async function listening(lines: readonly Fanout[], topic: string) {
    const heard = lines.map((): number[][] => []);
    const probed = lines.map(() => false);
    const ends = lines.map((line, at) =>
      line.listen(topic, (message) => {
        if (message.length === 0) probed[at] = true;
        else heard[at]?.push([...message]);
      }),
    );
    await eventually(() => {
      lineAt(lines, 0).say(topic, new Uint8Array());
      return probed.every(Boolean);
    }, `everybody hears of ${topic}`);
    return { heard, ends };
  }

  describe(`fan-out between nodes, ${name}`, () => {
    test('what one says of a topic all others hear, byte for byte and in its order', async () => {
      const lines = await opened(open, 3);
      const { heard } = await listening(lines, 'board');
      const said = Array.from({ length: 200 }, (_, at) => [at, 0, 255, 128]);
      for (const bytes of said) lineAt(lines, 1).say('board', new Uint8Array(bytes));
      for (const at of [0, 2])
        await eventually(() => heard[at]?.length === said.length, 'all is heard');
      expect(heard[0]).toEqual(said);
      expect(heard[2]).toEqual(said);
    });

    test('what is changed after it was said is heard as it was said', async () => {
      const lines = await opened(open, 2);
      const { heard } = await listening(lines, 'board');
      const bytes = new Uint8Array([1, 2, 3]);
      lineAt(lines, 0).say('board', bytes);
      bytes.fill(9);
      await eventually(() => heard[1]?.length === 1, 'it is heard');
      expect(heard[1]).toEqual([[1, 2, 3]]);
    });

    test('other topics are not heard, and nothing after the end', async () => {
      const lines = await opened(open, 2);
      const board = await listening(lines, 'board');
      const other = await listening(lines, 'board 2');
      lineAt(lines, 0).say('board', new Uint8Array([1]));
      await eventually(() => board.heard[1]?.length === 1, 'the first is heard');
      board.ends[1]?.();
      lineAt(lines, 0).say('board', new Uint8Array([2]));
      lineAt(lines, 0).say('board 2', new Uint8Array([3]));
      await eventually(() => other.heard[1]?.length === 1, 'the last is heard');
      expect(board.heard[1]).toEqual([[1]]);
      expect(other.heard[1]).toEqual([[3]]);
    });

    test('two ears of one node on one topic both hear, and one goes on when the other ends', async () => {
      const lines = await opened(open, 2);
      const first = await listening(lines, 'board');
      const second = await listening(lines, 'board');
      first.ends[1]?.();
      lineAt(lines, 0).say('board', new Uint8Array([7]));
      await eventually(() => second.heard[1]?.length === 1, 'it is heard');
      expect(first.heard[1]).toEqual([]);
    });

    test('a node that has closed hears nothing, and the others go on', async () => {
      const lines = await opened(open, 3);
      const { heard } = await listening(lines, 'board');
      await lineAt(lines, 1).close();
      lineAt(lines, 0).say('board', new Uint8Array([5]));
      await eventually(() => heard[2]?.length === 1, 'the third hears');
      expect(heard[1]).toEqual([]);
    });
  });
}
