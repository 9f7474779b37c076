'use client';

import { useEffect, useState } from 'react';
import type { Ms } from '../../../lib/units';

/** A moment as this browser's clock tells it; in UTC until scripts run, since the server knows no reader's zone. */
export function When({ atMs }: { readonly atMs: Ms }) {
  const iso = new Date(atMs).toISOString();
  const [text, setText] = useState(`${iso.slice(0, 10)} ${iso.slice(11, 16)} UTC`);
  useEffect(() => {
    const style = { dateStyle: 'medium', timeStyle: 'short' } as const;
    setText(new Date(atMs).toLocaleString(undefined, style));
  }, [atMs]);
  return <time dateTime={iso}>{text}</time>;
}
