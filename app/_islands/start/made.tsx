import type { CreatedBoard } from '../../../shared/api/create-board';

/** What had to be left out of a board that was made, before it is opened. */
export function Made({ made }: { readonly made: CreatedBoard }) {
  return (
    <div role="status" className="grid gap-2 border-l-4 border-accent pl-3">
      <p>The board is made. Some things had to be left out or moved:</p>
      <ul className="list-disc pl-5">
        {made.remarks.map((remark) => (
          <li key={remark}>{remark}</li>
        ))}
      </ul>
      <a className="button button-first justify-self-start" href={made.links.lead}>
        Open the board
      </a>
    </div>
  );
}
