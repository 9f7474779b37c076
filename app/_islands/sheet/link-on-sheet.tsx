'use client';

import type { ReactNode } from 'react';
import { createContext, use, useMemo, useState } from 'react';
import type { LinkCode } from '../../../shared/api/link-code';

interface OnSheet {
  /** The code that stands on the sheet. Its link is kept in the page alone. */
  readonly code: LinkCode | undefined;
  readonly put: (code: LinkCode) => void;
}

const Sheet = createContext<OnSheet>({ code: undefined, put: () => undefined });

/** What the parts of the sheet share: the code that stands on it. */
export function LinkOnSheet({ children }: { readonly children: ReactNode }) {
  const [code, put] = useState<LinkCode>();
  const value = useMemo(() => ({ code, put }), [code]);
  return <Sheet value={value}>{children}</Sheet>;
}

export function useLinkOnSheet(): OnSheet {
  return use(Sheet);
}
