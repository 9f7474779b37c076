/** For an address that leads nowhere. Next's own page carries a style that our policy does not let in. */
export default function NotFound() {
  return (
    <main className="page">
      <h1 className="text-4xl">Nothing is here</h1>
      <p>
        This address leads nowhere. Go to <a href="/">the start</a>, or open the link that you were
        given once more.
      </p>
    </main>
  );
}
