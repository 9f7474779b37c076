import type { Fanout } from '../../server/fanout/fanout';

type Hear = (message: Uint8Array) => void;

/** Stands in the place of Redis for hundreds of schedules: the lines of several nodes in one process. Passes the suite that Redis passes. */
export class MemoryHub {
  private readonly ears = new Map<string, Set<Hear>>();

  line(): Fanout {
    const mine = new Set<() => void>();
    let isClosed = false;
    return {
      listen: (topic, hear) => {
        const ears = this.ears.get(topic) ?? new Set();
        this.ears.set(topic, ears);
        // An ear of its own for each call, should the same function listen twice.
        const ear: Hear = (message) => hear(message);
        ears.add(ear);
        const end = () => {
          ears.delete(ear);
          mine.delete(end);
        };
        mine.add(end);
        return end;
      },
      say: (topic, message) => {
        if (isClosed) return;
        const copy = message.slice();
        // Said now, heard later, as from a server.
        setImmediate(() => {
          for (const hear of [...(this.ears.get(topic) ?? [])]) hear(copy);
        });
      },
      // Its line is never cut; tests cut it with FaultyFanout.
      onBack: () => undefined,
      close: async () => {
        isClosed = true;
        for (const end of [...mine]) end();
      },
    };
  }
}
