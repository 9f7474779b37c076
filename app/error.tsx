'use client';

/** What is shown where a page could not be made: mostly because the server cannot read its boards at the moment. */
export default function Failed() {
  return (
    <main className="page">
      <h1 className="text-4xl">This cannot be shown at the moment</h1>
      <p>
        The server could not read what belongs here. Nothing that was kept is lost. Wait a moment,
        then try again.
      </p>
      <p>
        <button type="button" className="button" onClick={() => location.reload()}>
          Try again
        </button>
      </p>
    </main>
  );
}
