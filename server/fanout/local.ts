import type { Fanout } from './fanout';

/** The fan-out of one node: there is nobody else to tell. */
export const LOCAL_FANOUT: Fanout = {
  listen: () => () => undefined,
  say: () => undefined,
  onBack: () => undefined,
  close: () => Promise.resolve(),
};
