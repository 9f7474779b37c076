'use client';

import { useLinkOnSheet } from './link-on-sheet';

/**
 * Takes the sheet as PDF from the server. A link that stands on it as a code goes along as this button's own value, in the body of the
 * request, so that no address holds it and no other button sends it.
 */
export function PdfButton({ path }: { readonly path: string }) {
  const { code } = useLinkOnSheet();
  return (
    <button
      type="submit"
      className="button button-quiet"
      formAction={path}
      {...(code ? { formMethod: 'post', name: 'link', value: code.address } : {})}
    >
      Take it as PDF
    </button>
  );
}
