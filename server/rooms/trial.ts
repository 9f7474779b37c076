import * as Y from 'yjs';
import type { Refusal } from '../../shared/wire/refusal';
import { MAX_DOCUMENT, MAX_RIVALRY } from '../limits';
import { rivalryIn, rivalryOf } from './rivalry';
import type { Decoded } from './update';
import { decoded, faultOf } from './update';

export type TrialFault = Extract<Refusal['code'], 'unreadable' | 'incomplete' | 'too-large'>;

/** An update that was taken whole. */
export interface Tried {
  /** The document with it, not to be changed. */
  readonly copy: Y.Doc;
  /** What is new in it, as Yjs writes it. */
  readonly made: readonly Uint8Array[];
}

/**
 * A document with a second copy on which every update from outside is tried first. Yjs cannot take back what it has applied, and an
 * update that throws midway keeps its first half; so an update reaches the real document only after the copy has taken it whole, with
 * nothing pending. A copy that was spoilt is made anew from the real document. Costs the document's memory twice.
 */
export class Trial {
  private copy: Y.Doc | undefined;
  /** What the last update changed on the copy. */
  private made: Uint8Array[] = [];
  /** No less than the size of the real document's state, bytes. */
  private size = Number.POSITIVE_INFINITY;

  /** @param mostKeys that the document may have */
  constructor(
    readonly real: Y.Doc,
    private readonly mostKeys = Number.POSITIVE_INFINITY,
  ) {}

  /** Tries an update, or says why not and forgets it. The real document has it after `take`. */
  attempt(update: Uint8Array): TrialFault | Tried {
    const parts = decoded(update);
    if (!parts) return 'unreadable';
    return (
      faultOf(parts, this.real) ??
      this.tooLarge(update) ??
      this.tooManyKeys(parts) ??
      this.tooContended(parts) ??
      this.tryOn(update)
    );
  }

  /** Takes an update that was tried into the real document. */
  take(update: Uint8Array, origin: unknown): void {
    Y.applyUpdate(this.real, update, origin);
    this.size += update.length;
  }

  /** Applies an update that another server has tried, to the real document and to the copy. */
  accept(update: Uint8Array, origin: unknown): void {
    this.take(update, origin);
    if (this.copy) Y.applyUpdate(this.copy, update);
  }

  /** Once the document would be too large it takes only deletions. Measures it only when it may be. */
  private tooLarge(update: Uint8Array): TrialFault | undefined {
    if (this.size === Number.POSITIVE_INFINITY) this.measure();
    if (this.size + update.length <= MAX_DOCUMENT) return undefined;
    const fresh = Y.diffUpdate(update, Y.encodeStateVector(this.real));
    if (this.size + fresh.length <= MAX_DOCUMENT) return undefined;
    if (Y.decodeUpdate(fresh).structs.length === 0) return undefined;
    this.measure();
    return this.size + fresh.length > MAX_DOCUMENT ? 'too-large' : undefined;
  }

  /** Would it have more keys than are quickly read? One that is written anew names what stood there before. */
  private tooManyKeys({ structs }: Decoded): TrialFault | undefined {
    const isNew = ({ id, length }: Decoded['structs'][number]) =>
      id.clock + length > Y.getState(this.real.store, id.client);
    const fresh = structs.filter(
      (struct) => struct instanceof Y.Item && struct.origin === null && isNew(struct),
    ).length;
    if (fresh === 0) return undefined;
    const there = [...this.real.share.values()].reduce((sum, type) => sum + type._map.size, 0);
    return there + fresh > this.mostKeys ? 'too-large' : undefined;
  }

  /** Would it take too long to put together what was written side by side? Looks at the whole document only where the update adds to that. */
  private tooContended(parts: Decoded): TrialFault | undefined {
    const steps = rivalryOf(parts, this.real, MAX_RIVALRY);
    if (steps === 0) return undefined;
    return steps + rivalryIn(this.real) > MAX_RIVALRY ? 'too-large' : undefined;
  }

  private measure(): void {
    this.size = Y.encodeStateAsUpdate(this.real).length;
  }

  private tryOn(update: Uint8Array): TrialFault | Tried {
    const copy = this.copy ?? this.copyOfReal();
    this.copy = copy;
    this.made = [];
    const fault = this.faultOn(copy, update);
    if (fault === undefined) return { copy, made: this.made };
    copy.destroy();
    this.copy = undefined;
    return fault;
  }

  private faultOn(copy: Y.Doc, update: Uint8Array): TrialFault | undefined {
    try {
      Y.applyUpdate(copy, update);
    } catch (error) {
      // What decodes may still contradict itself; Yjs then throws plain errors from its depths.
      if (error instanceof Error) return 'unreadable';
      throw error;
    }
    if (copy.store.pendingStructs !== null || copy.store.pendingDs !== null) return 'incomplete';
    return undefined;
  }

  private copyOfReal(): Y.Doc {
    const copy = new Y.Doc();
    Y.applyUpdate(copy, Y.encodeStateAsUpdate(this.real));
    copy.on('update', (made: Uint8Array) => this.made.push(made));
    return copy;
  }
}
