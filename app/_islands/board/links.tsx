import { useEffect, useState } from 'react';
import type { KeptBoard } from '../start/kept-boards';
import { keptBoards } from '../start/kept-boards';

/** The links that a leader hands out, where the board was started on this browser. */
export function Links({ board }: { readonly board: string }) {
  const [found, setFound] = useState<KeptBoard>();
  const [copied, setCopied] = useState<string>();
  useEffect(() => setFound(keptBoards().find((one) => one.board === board)), [board]);
  if (!found) return null;
  const rows = [
    { name: 'join', path: found.links.join, words: 'for students: they propose and vote' },
    { name: 'watch', path: found.links.watch, words: 'for listeners: they see and hear' },
    { name: 'lead', path: found.links.lead, words: 'for another leader, or your other device' },
  ];
  const copy = async (name: string, address: string) => {
    await navigator.clipboard.writeText(address);
    setCopied(name);
  };
  return (
    <details className="sheet">
      <summary className="cursor-pointer font-bold">Links to hand out</summary>
      <ul className="mt-2 grid gap-2">
        {rows.map(({ name, path, words }) => {
          const address = new URL(path, location.href).href;
          return (
            <li key={name} className="flex flex-wrap items-center gap-2">
              <strong className="w-14">{name}</strong>
              <code className="break-all" data-link={name}>
                {address}
              </code>
              <button
                type="button"
                className="button button-quiet"
                onClick={() => copy(name, address)}
              >
                {copied === name ? 'copied' : 'copy'}
                <span className="sr-only"> the {name} link</span>
              </button>
              <span className="text-soft">{words}</span>
            </li>
          );
        })}
      </ul>
    </details>
  );
}
