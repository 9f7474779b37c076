import type { Structuring } from './use-structure';

/** What was done to the tune last, and the way back and forth. It stays in sight while the leader goes through the tune. */
export function StructureBar({ structure }: { readonly structure: Structuring }) {
  const { words, refused, canUndo, canRedo, undo, redo } = structure;
  const used = words !== '' || canUndo || canRedo;
  return (
    <div className={used ? 'structure-bar' : 'sr-only'}>
      <p role="status" data-refused-change={refused || undefined}>
        {words}
      </p>
      {used && (
        <p className="flex flex-wrap gap-2">
          <button
            type="button"
            className="button button-small"
            aria-disabled={!canUndo}
            onClick={() => canUndo && undo()}
          >
            take back what I changed
          </button>
          {canRedo && (
            <button type="button" className="button button-small" onClick={redo}>
              do it again
            </button>
          )}
        </p>
      )}
    </div>
  );
}
