import { MAX_TEMPO, MIN_TEMPO } from '../../../shared/board/values';

/** Is it a tempo that a board takes? */
export function isTempo(bpm: number): boolean {
  return bpm >= MIN_TEMPO && bpm <= MAX_TEMPO;
}

export const TEMPO_HELP = `Choose ${MIN_TEMPO} to ${MAX_TEMPO} beats a minute.`;

/** A field for beats a minute; NaN while it is empty. */
export function BpmField({
  label,
  value,
  change,
  min = MIN_TEMPO,
}: {
  readonly label: string;
  readonly value: number;
  readonly change: (bpm: number) => void;
  readonly min?: number;
}) {
  return (
    <label className="grid gap-1">
      {label}
      <input
        className="field w-24"
        type="number"
        min={min}
        max={MAX_TEMPO}
        value={Number.isNaN(value) ? '' : value}
        onChange={(event) => change(event.target.valueAsNumber)}
      />
    </label>
  );
}
