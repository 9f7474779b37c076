/** What a person wants to hear on this browser while everybody plays. */
export interface Wish {
  readonly music: 'none' | 'plain' | 'pass';
  readonly click: boolean;
  /** What is heard before the first measure. */
  readonly lead: 'none' | 'count' | 'potatoes';
}

/** Nothing, until a person asks for it: browsers start sound only after a touch or a key. */
export const SILENT: Wish = { music: 'none', click: false, lead: 'count' };

/** Is there anything to hear? */
export function isHeard({ music, click }: Wish): boolean {
  return music !== 'none' || click;
}
