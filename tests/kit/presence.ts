import * as encoding from 'lib0/encoding';
import { Awareness, applyAwarenessUpdate } from 'y-protocols/awareness';
import * as Y from 'yjs';
import { awarenessFrame } from '../../shared/wire/frame';
import type { Peer } from './peers';

interface State {
  readonly client: number;
  readonly clock: number;
  readonly state: unknown;
}

/** What a browser says of itself: states as y-protocols writes them. */
export function presenceOf(...states: readonly State[]): Uint8Array {
  return awarenessFrame(
    encoding.encode((encoder) => {
      encoding.writeVarUint(encoder, states.length);
      for (const { client, clock, state } of states) {
        encoding.writeVarUint(encoder, client);
        encoding.writeVarUint(encoder, clock);
        encoding.writeVarString(encoder, typeof state === 'string' ? state : JSON.stringify(state));
      }
    }),
  );
}

/** What a browser's own awareness makes of all that a peer was sent. */
export function here(peer: Pick<Peer, 'frames'>): Record<string, unknown> {
  const awareness = new Awareness(new Y.Doc());
  awareness.setLocalState(null);
  for (const frame of peer.frames)
    if (frame.kind === 'awareness') applyAwarenessUpdate(awareness, frame.bytes, undefined);
  const states = Object.fromEntries(awareness.getStates());
  awareness.destroy();
  return states;
}
