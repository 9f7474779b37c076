import { NO_CLOCK, offsetAt, withExchange, withNewLine } from '../../lib/clock';
import type { Ms } from '../../lib/units';
import { wordFrame } from '../../shared/wire/frame';
import { ProviderPeer } from './provider';
import type { TestBoard, Visitor } from './server';

/** Milliseconds of this machine, without jumps. */
export function localNow(): Ms {
  return performance.timeOrigin + performance.now();
}

/** Asks for the time as often as a page does while somebody plays, but for a quicker beginning. */
const ASK_EVERY: Ms = 50;

/** Somebody who keeps the server's time as a page does (`app/_islands/session/pulse.ts`), over as many lines as it takes. */
export class Follower extends ProviderPeer {
  private clock = NO_CLOCK;
  /** Lines that were opened so far. */
  lines = 0;
  private readonly timer: NodeJS.Timeout;

  constructor(port: number, board: TestBoard, visitor: Visitor) {
    super(port, board, visitor);
    this.provider.on('status', ({ status }) => {
      if (status !== 'connected') return;
      this.lines += 1;
      this.clock = withNewLine(this.clock);
    });
    this.timer = setInterval(() => {
      const { ws, wsconnected } = this.provider;
      if (ws && wsconnected) ws.send(wordFrame({ kind: 'ask-time', t1: localNow() }).slice());
    }, ASK_EVERY);
    this.onTime = (answer) => {
      this.clock = withExchange(this.clock, { ...answer, t4: localNow() });
    };
  }

  /** Server time minus this machine's; undefined before the first answer. */
  get offset(): Ms | undefined {
    return this.clock.taken > 0 ? offsetAt(this.clock, localNow()) : undefined;
  }

  stop(): void {
    clearInterval(this.timer);
  }
}
