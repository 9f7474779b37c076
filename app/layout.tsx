import type { Metadata, Viewport } from 'next';
import type { ReactNode } from 'react';
import './_style/tokens.css';
import './_style/board.css';
import './_style/exercise.css';
import './_style/passes.css';
import './_style/play.css';
import './_style/practice.css';
import './_style/sheet.css';

export const metadata: Metadata = {
  title: { default: 'Passround', template: '%s · Passround' },
  description: 'A shared board of variations for clawhammer banjo workshops and old-time jams.',
  referrer: 'no-referrer',
};

/** Every page has its own nonce for scripts, also the one for addresses that lead nowhere, so none is made before it is asked for. */
export const dynamic = 'force-dynamic';

export const viewport: Viewport = { width: 'device-width', initialScale: 1 };

export default function RootLayout({ children }: { readonly children: ReactNode }) {
  return (
    <html lang="en">
      <body>{children}</body>
    </html>
  );
}
