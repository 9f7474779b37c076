import { arrange } from '../../lib/arrange/arrange';
import { DEMO_ABC } from '../../lib/demo-tune';
import { readAbc } from '../../lib/formats/abc/read';
import type { Tune } from '../../lib/tune';
import { DocumentFamily } from './documents';
import { writePasses, writeTune } from './write';

/** The demo tune as basic clawhammer tab. @throws RangeError if it cannot be arranged (a mistake of ours) */
function demoTune(): Tune {
  const read = readAbc(DEMO_ABC);
  if (!read.ok) throw new RangeError(`the demo cannot be read: ${JSON.stringify(read.problems)}`);
  const arranged = arrange(read.value.melody);
  if (!arranged.ok)
    throw new RangeError(`the demo cannot be arranged: ${JSON.stringify(arranged.problems)}`);
  return arranged.value.tune;
}

/** A board to look around on: the demo tune in the middle of a workshop, voting open. */
export function demoDocuments(): DocumentFamily {
  const family = new DocumentFamily();
  writeTune(family.lead, demoTune());
  writePasses(family.lead, 4);
  return family;
}
