import type { ReactNode } from 'react';

/** A tick with its words. */
export function Tick({
  on,
  set,
  children,
}: {
  readonly on: boolean;
  readonly set: (on: boolean) => void;
  readonly children: ReactNode;
}) {
  return (
    <label className="tick">
      <input type="checkbox" checked={on} onChange={(event) => set(event.target.checked)} />
      <span>{children}</span>
    </label>
  );
}

/** A slider with its words and its value in words. */
export function Dial({
  words,
  value,
  low,
  high,
  step,
  shown,
  set,
}: {
  readonly words: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  /** The value as it is read: "72 beats a minute". */
  readonly shown: string;
  readonly set: (value: number) => void;
}) {
  return (
    <label className="dial">
      <span>{words}</span>
      <input
        type="range"
        min={low}
        max={high}
        step={step}
        value={value}
        aria-valuetext={shown}
        onChange={(event) => set(event.target.valueAsNumber)}
      />
      <span aria-hidden="true">{shown}</span>
    </label>
  );
}

/** A whole number to type, with its words around it. */
export function WholeNumber({
  words,
  value,
  low,
  high,
  set,
}: {
  readonly words: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly set: (value: number) => void;
}) {
  return (
    <label className="grid gap-1">
      {words}
      <input
        className="field w-24"
        type="number"
        min={low}
        max={high}
        value={value}
        onChange={(event) => {
          const next = event.target.valueAsNumber;
          if (next >= low && next <= high && next % 1 === 0) set(next);
        }}
      />
    </label>
  );
}
