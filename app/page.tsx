import { host } from './_door/host';
import { StartView } from './_islands/start/view';

/** Where a leader starts a board or comes back to one. */
export default async function StartPage({
  searchParams,
}: {
  readonly searchParams: Promise<{ readonly link?: string | readonly string[] }>;
}) {
  const days = host().idleDays();
  const { link } = await searchParams;
  return (
    <main className="page">
      <header className="grid gap-3">
        <h1 className="text-5xl sm:text-6xl">Passround</h1>
        <p className="max-w-prose text-xl">
          One tune, everybody's variations, never the same twice. Bring a tune, let your group vary
          its measures, agree what is played in which time through, and play it together.
        </p>
      </header>
      {link === 'later' && (
        <p className="sheet" role="alert">
          Links cannot be looked up at the moment. Yours is as good as before: wait a moment, then
          open it again.
        </p>
      )}
      {link === 'unknown' && (
        <p className="sheet" role="alert">
          That link leads nowhere. Perhaps a piece of it is missing: ask for it again and copy it
          whole.
        </p>
      )}
      <StartView />
      {days !== undefined && (
        <p className="text-soft">
          A board that nobody has opened for {days === 1 ? 'a day' : `${days} days`} is deleted with
          everything on it.
        </p>
      )}
    </main>
  );
}
