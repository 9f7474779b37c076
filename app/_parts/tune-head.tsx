import type { Tune } from '../../lib/tune';
import { describeTuning } from '../../lib/words/describe';

/** The tune's name and how to set the banjo up for it. */
export function TuneHead({ tune }: { readonly tune: Tune }) {
  return (
    <div>
      <h1 className="text-4xl sm:text-5xl">{tune.title}</h1>
      <p className="text-soft">
        {describeTuning(tune.neck)} · key of {tune.key.tonic} {tune.key.mode} · {tune.meter.name} ·{' '}
        {tune.tempo} beats a minute · {tune.form.join(' ')}
      </p>
    </div>
  );
}
