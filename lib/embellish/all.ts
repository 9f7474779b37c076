import { addedBrush } from './added-brush';
import { alternatePullOff } from './alternate-pull-off';
import { doubleThumb } from './double-thumb';
import { dropThumb } from './drop-thumb';
import type { Family, FamilyId } from './family';
import { hammerFromNowhere } from './hammer-from-nowhere';
import { hammerOn } from './hammer-on';
import { pullOff } from './pull-off';
import { skip } from './skip';
import { slide } from './slide';
import { stoppedHand } from './stopped-hand';
import { triplet } from './triplet';

/** All families, in the order in which workshops teach them: the five of a first one, then the others. */
export const FAMILIES: readonly Family[] = [
  hammerOn,
  pullOff,
  slide,
  doubleThumb,
  dropThumb,
  addedBrush,
  skip,
  hammerFromNowhere,
  alternatePullOff,
  triplet,
  stoppedHand,
];

/** @throws RangeError if no family is called that */
export function familyById(id: FamilyId): Family {
  const family = FAMILIES.find((known) => known.id === id);
  if (!family) throw new RangeError(`no family is called ${id}`);
  return family;
}
