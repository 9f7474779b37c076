import { PdfButton } from '../../_islands/sheet/pdf-button';
import { PrintButton } from '../../_islands/sheet/print-button';
import type { SheetWishes } from './blocks';
import { BLOCK_NAMES, BLOCKS, PAPERS } from './blocks';

/** What is to be on the sheet: a plain form, so that it works without scripts too. Not printed. */
export function Wishes({
  wishes,
  pdf,
  linkKey,
}: {
  readonly wishes: SheetWishes;
  readonly pdf: string;
  /** Who came by the secret of a link alone keeps it. */
  readonly linkKey: string | undefined;
}) {
  return (
    <form method="get" className="sheet-wishes sheet">
      {linkKey !== undefined && <input type="hidden" name="key" value={linkKey} />}
      <fieldset className="flex flex-wrap gap-x-5 gap-y-2">
        <legend className="font-bold">On the sheet</legend>
        {BLOCKS.map((block) => (
          <label key={block} className="flex items-center gap-2">
            <input
              type="checkbox"
              name="block"
              value={block}
              defaultChecked={wishes.blocks.has(block)}
            />
            {BLOCK_NAMES[block]}
          </label>
        ))}
      </fieldset>
      <div className="flex flex-wrap items-end gap-4">
        <label className="grid gap-1">
          paper
          <select className="field" name="paper" defaultValue={wishes.paper}>
            {PAPERS.map((paper) => (
              <option key={paper}>{paper}</option>
            ))}
          </select>
        </label>
        <label className="grid gap-1">
          code to scan
          <select className="field" name="code" defaultValue={wishes.code ?? ''}>
            <option value="">none</option>
            <option value="join">of the join link</option>
            <option value="watch">of the watch link</option>
          </select>
        </label>
        <label className="flex items-center gap-2">
          <input type="checkbox" name="large" value="yes" defaultChecked={wishes.large} />
          large print
        </label>
        <button type="submit" className="button">
          Show it so
        </button>
        <PrintButton />
        <PdfButton path={pdf} />
      </div>
    </form>
  );
}
