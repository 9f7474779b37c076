import type { LinkCode } from '../../../shared/api/link-code';

const TITLES = { join: 'Join this board', watch: 'Watch this board' } as const;
const WORDS = {
  join: 'Whoever opens it can propose variants and vote.',
  watch: 'Whoever opens it can see and hear everything, and change nothing.',
} as const;

/** A link as a code to scan, with its address for whoever has nothing to scan with. */
export function CodeFigure({ code: { role, address, size, dark } }: { readonly code: LinkCode }) {
  return (
    <figure className="sheet-code">
      <svg className="sheet-code-square" viewBox={`0 0 ${size} ${size}`} aria-hidden="true">
        <rect width={size} height={size} />
        <path d={dark} />
      </svg>
      <figcaption>
        <strong>{TITLES[role]}</strong>
        <br />
        Scan the code, or open <span className="sheet-address">{address}</span>
        <br />
        {WORDS[role]}
      </figcaption>
    </figure>
  );
}
