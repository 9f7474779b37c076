import type { Result } from '../../lib/result';
import type { BoardId } from '../../lib/units';
import type { Draft } from '../boards';
import type { CreateProblem } from '../host';

/** What a reading process is asked: the body of a request, as it came, for a board of this name. */
export interface ImportOrder {
  readonly board: BoardId;
  readonly text: string;
}

/** What a reading process says: that it begins, what it made, or that a mistake of ours came to light. */
export type ImportWord =
  | { readonly kind: 'begun' }
  | { readonly kind: 'read'; readonly draft: Result<Draft, CreateProblem> }
  | { readonly kind: 'fault'; readonly words: string };
