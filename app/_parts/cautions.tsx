/** The usual cautions, in plain sight and out of the way. Source: common practice, no source; nothing here is medical advice. */
export function Cautions({ sound }: { readonly sound: boolean }) {
  return (
    <footer className="cautions">
      <p>
        <strong>Look after your hands{sound ? ' and ears' : ''}.</strong> Warm up, play short spells
        and stop when something hurts; if it goes on, see a clinician.
        {sound &&
          ' Keep headphones moderate: the level here starts low, and you raise it yourself.'}{' '}
        Nothing on this page is medical advice; licensed practice and local rules come first.
      </p>
    </footer>
  );
}
