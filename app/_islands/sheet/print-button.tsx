'use client';

/** Opens the browser's own print. */
export function PrintButton() {
  return (
    <button type="button" className="button button-first" onClick={() => window.print()}>
      Print
    </button>
  );
}
