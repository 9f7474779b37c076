import { LOCAL_FANOUT } from '../../../server/fanout/local';
import { FaultyFanout, seeded } from '../../kit/hub';
import { MemoryHub } from '../../kit/memory-hub';
import { fanoutConforms, fanoutReaches } from './conformance';

fanoutConforms('of one node', async (count) => Array.from({ length: count }, () => LOCAL_FANOUT));

const stood = async (count: number) => {
  const hub = new MemoryHub();
  return Array.from({ length: count }, () => hub.line());
};
fanoutConforms("the tests' own", stood);
fanoutReaches("the tests' own", stood);

const none = { lost: 0, doubled: 0, late: 0 };
fanoutReaches("the tests' faults, while there are none", async (count) =>
  (await stood(count)).map((line) => new FaultyFanout(line, none, seeded(1))),
);
