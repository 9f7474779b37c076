import * as Y from 'yjs';
import type { Refusal } from '../../shared/wire/refusal';
import { MAX_DOCUMENT } from '../limits';
import type { Decoded } from './update';
import { bringsDepth, decoded, faultOf } from './update';

export type TrialFault = Extract<Refusal['code'], 'unreadable' | 'incomplete' | 'too-large'>;

/**
 * A document with a second copy on which every update from outside is tried first. Yjs cannot take back what it has applied, and an
 * update that throws midway keeps its first half; so an update reaches the real document only after the copy has taken it whole, with
 * nothing pending. A copy that was spoilt is made anew from the real document. Costs the document's memory twice.
 */
export class Trial {
  private copy: Y.Doc | undefined;
  /** No less than the size of the real document's state, bytes. */
  private size = Number.POSITIVE_INFINITY;

  constructor(readonly real: Y.Doc) {}

  /** Applies an update to the real document, or says why not and leaves it as it was. */
  apply(update: Uint8Array): TrialFault | undefined {
    const parts = decoded(update);
    if (!parts) return 'unreadable';
    const fault = faultOf(parts, this.real) ?? this.tooLarge(update) ?? this.attempt(update, parts);
    if (fault) return fault;
    Y.applyUpdate(this.real, update);
    this.size += update.length;
    return undefined;
  }

  /** Applies an update that another server has tried, to the real document and to the copy. */
  accept(update: Uint8Array, origin: unknown): void {
    Y.applyUpdate(this.real, update, origin);
    if (this.copy) Y.applyUpdate(this.copy, update);
    this.size += update.length;
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

  private measure(): void {
    this.size = Y.encodeStateAsUpdate(this.real).length;
  }

  private attempt(update: Uint8Array, parts: Decoded): TrialFault | undefined {
    this.copy ??= this.copyOfReal();
    const fault = this.attemptOn(this.copy, update, parts);
    if (fault) {
      this.copy.destroy();
      this.copy = undefined;
    }
    return fault;
  }

  private attemptOn(copy: Y.Doc, update: Uint8Array, parts: Decoded): TrialFault | undefined {
    try {
      Y.applyUpdate(copy, update);
    } catch (error) {
      // What decodes may still contradict itself; Yjs then throws plain errors from its depths.
      if (error instanceof Error) return 'unreadable';
      throw error;
    }
    if (copy.store.pendingStructs !== null || copy.store.pendingDs !== null) return 'incomplete';
    return bringsDepth(parts, copy) ? 'unreadable' : undefined;
  }

  private copyOfReal(): Y.Doc {
    const copy = new Y.Doc();
    Y.applyUpdate(copy, Y.encodeStateAsUpdate(this.real));
    return copy;
  }
}
