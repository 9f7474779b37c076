import type { Measure } from '../../../lib/tab/measure';
import type { Tune } from '../../../lib/tune';
import type { Variant } from '../../../shared/board/schema';
import type { HeardMeasure } from './hear-button';
import { HearButton } from './hear-button';

type Setting = Pick<Tune, 'neck' | 'tempo'>;

/** A measure to be heard alone, or right after the plain one. */
function HearBoth({
  plain,
  own,
  tune,
  what,
}: {
  readonly plain: HeardMeasure;
  readonly own: HeardMeasure;
  readonly tune: Setting;
  readonly what: string;
}) {
  const { neck, tempo } = tune;
  return (
    <>
      <HearButton measures={[own]} neck={neck} tempo={tempo} what={what} />
      <HearButton
        measures={[plain, own]}
        neck={neck}
        tempo={tempo}
        words="plain, then this"
        what={what}
      />
    </>
  );
}

/** Hears a variant as it stands on the board. */
export function HearVariant({
  plain,
  variant,
  tune,
  what,
}: {
  readonly plain: HeardMeasure;
  readonly variant: Pick<Variant, 'id' | 'strokes'>;
  readonly tune: Setting;
  readonly what: string;
}) {
  const own: HeardMeasure = {
    measure: { ...plain.measure, strokes: variant.strokes },
    place: `[data-variant="${variant.id}"] .tab`,
  };
  return <HearBoth plain={plain} own={own} tune={tune} what={what} />;
}

/** Hears what is being made in the workbench; the plain measure is marked where it stands above. */
export function HearDraft({
  context,
  draft,
}: {
  readonly context: Setting & { readonly plain: Measure };
  readonly draft: Measure;
}) {
  return (
    <div className="flex flex-wrap gap-2">
      <HearBoth
        plain={{ measure: context.plain, place: '.plain[data-opened] .tab' }}
        own={{ measure: draft, place: '.bench-hand .tab' }}
        tune={context}
        what="my variant"
      />
    </div>
  );
}
