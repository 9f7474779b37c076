import * as Y from 'yjs';
import type { Decoded } from './update';

/**
 * How much Yjs has to compare before it knows where new values stand. A value that is written over the last one of its key takes no
 * comparing; one that was written beside others, by somebody who did not know them, is compared with all of those. Honest pages cause a few hundred
 * comparisons; made on purpose, a few kilobytes cause thousands of millions, on the server and on every page, each time the document is opened.
 */

/** A value in the middle of a run is cut out of it, which costs as much as so many comparisons. */
const CUT = 50;

type Struct = Decoded['structs'][number];

function keyOf({ client, clock }: Y.ID): string {
  return `${client}:${clock}`;
}

/** How many items stand here and on to one side, counted no further than `most`. */
function countOn(from: Y.Item | null, side: 'left' | 'right', most: number): number {
  let count = 0;
  for (let at = from; at && count <= most; at = at[side]) count += 1;
  return count;
}

class Rivalry {
  steps = 0;
  /** Items of the update so far: what others in it may have to be compared with. */
  private seen = 0;
  private readonly taken = new Set<string>();
  private readonly ends = new Set<string>();

  constructor(
    private readonly doc: Y.Doc,
    structs: readonly Struct[],
    private readonly most: number,
  ) {
    for (const struct of structs) if (struct instanceof Y.Item) this.ends.add(keyOf(struct.lastId));
  }

  add(item: Y.Item): void {
    if (item.content instanceof Y.ContentAny) this.steps += CUT * (item.length - 1);
    const { origin } = item;
    const place = origin ? keyOf(origin) : `${item.parent}/${item.parentSub}`;
    if (this.taken.has(place)) this.steps += this.seen;
    this.taken.add(place);
    this.steps += origin ? this.behind(origin) : this.underKey(item);
    this.seen += 1;
  }

  private underKey({ parent, parentSub }: Y.Item): number {
    const type = typeof parent === 'string' ? this.doc.share.get(parent) : undefined;
    return countOn(type?._map.get(parentSub ?? '') ?? null, 'left', this.most);
  }

  private behind(origin: Y.ID): number {
    if (origin.clock >= Y.getState(this.doc.store, origin.client))
      return this.ends.has(keyOf(origin)) ? 0 : CUT + this.seen;
    const before = Y.getItem(this.doc.store, origin);
    if (!(before instanceof Y.Item)) return 0;
    const cut = before.lastId.clock === origin.clock ? 0 : CUT;
    return cut + countOn(before.right, 'right', this.most);
  }
}

/** No fewer comparisons than an update brings with it, counted no further than `most`. */
export function rivalryOf({ structs }: Decoded, doc: Y.Doc, most: number): number {
  const rivalry = new Rivalry(doc, structs, most);
  for (const struct of structs) {
    const { client, clock } = struct.id;
    const isNew = clock + struct.length > Y.getState(doc.store, client);
    if (struct instanceof Y.Item && isNew) rivalry.add(struct);
    if (rivalry.steps > most) break;
  }
  return rivalry.steps;
}

/** The same of all that a document holds, for whoever opens it. */
export function rivalryIn(doc: Y.Doc): number {
  let steps = 0;
  for (const type of doc.share.values())
    for (const last of type._map.values()) {
      let items = 0;
      let rivals = 0;
      for (let at: Y.Item | null = last; at; at = at.left) {
        const follows = at.left ? Y.compareIDs(at.origin, at.left.lastId) : true;
        items += 1;
        if (!follows) rivals += 1;
      }
      steps += items * rivals;
    }
  return steps;
}
