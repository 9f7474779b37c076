import { doubleThumb } from './double-thumb';
import { dropThumb } from './drop-thumb';
import type { Family, FamilyId } from './family';
import { hammerOn } from './hammer-on';
import { pullOff } from './pull-off';
import { slide } from './slide';

/** All families, in the order in which a workshop teaches them. */
export const FAMILIES: readonly Family[] = [hammerOn, pullOff, slide, doubleThumb, dropThumb];

/** @throws RangeError if no family is called that */
export function familyById(id: FamilyId): Family {
  const family = FAMILIES.find((known) => known.id === id);
  if (!family) throw new RangeError(`no family is called ${id}`);
  return family;
}
