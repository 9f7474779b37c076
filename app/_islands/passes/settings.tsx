import { useState } from 'react';
import { passesIn, runMs } from '../../../lib/passes/count';
import type { ElectionRule } from '../../../lib/passes/elect';
import { ELECTION_RULES } from '../../../lib/passes/elect';
import { MAX_PASSES, MIN_PASSES } from '../../../lib/passes/limits';
import type { Board } from '../../../shared/board/schema';
import type { PassActs } from './acts';

const RULES = Object.keys(ELECTION_RULES) as readonly ElectionRule[];
const NAMES: Readonly<Record<ElectionRule, string>> = {
  approvals: 'most approvals first',
  phragmen: 'shares by load (sequential Phragmén)',
  'equal-shares': 'equal shares',
};

function minutesWords(ms: number): string {
  const seconds = Math.round(ms / 1000);
  return `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')} s`;
}

/** How many passes, and by which rule votes become seats; with what it means in minutes. */
export function Settings({ board, acts }: { readonly board: Board; readonly acts: PassActs }) {
  const { tune, passes, planning } = board;
  const run = { tune, tempo: tune.tempo };
  const [minutes, setMinutes] = useState('');
  const wanted = Number(minutes);
  const fit = minutes !== '' && wanted > 0 ? passesIn(run, wanted * 60_000) : undefined;
  const within = fit === undefined ? undefined : Math.min(MAX_PASSES, Math.max(MIN_PASSES, fit));
  return (
    <div className="grid gap-3">
      <div className="flex flex-wrap items-end gap-4">
        <label className="grid gap-1">
          Passes
          <input
            className="field w-24"
            type="number"
            min={MIN_PASSES}
            max={MAX_PASSES}
            value={passes}
            onChange={(event) => {
              const next = event.target.valueAsNumber;
              if (Number.isInteger(next) && next >= MIN_PASSES && next <= MAX_PASSES)
                acts.setPasses(next);
            }}
          />
        </label>
        <p>
          last {minutesWords(runMs(run, passes))} at {tune.tempo} beats a minute, count-in included.
        </p>
        <label className="grid gap-1">
          Or: minutes to fill
          <input
            className="field w-24"
            type="number"
            min={1}
            max={60}
            value={minutes}
            onChange={(event) => setMinutes(event.target.value)}
          />
        </label>
        {fit !== undefined && within !== undefined && (
          <button type="button" className="button" onClick={() => acts.setPasses(within)}>
            {fit} {fit === 1 ? 'pass fits' : 'passes fit'}: take {within}
          </button>
        )}
      </div>
      <label className="grid gap-1">
        How votes become turns
        <select
          className="field"
          value={planning.rule}
          onChange={(event) => {
            const rule = RULES.find((one) => one === event.target.value);
            if (rule) acts.setRule(rule);
          }}
        >
          {RULES.map((rule) => (
            <option key={rule} value={rule}>
              {NAMES[rule]}
            </option>
          ))}
        </select>
      </label>
      <p className="text-soft">{ELECTION_RULES[planning.rule]}</p>
      <label className="flex items-center gap-2">
        <input
          type="checkbox"
          checked={planning.carry}
          onChange={(event) => acts.setCarry(event.target.checked)}
        />
        who lost in one measure weighs more in the next
      </label>
      <label className="flex items-center gap-2">
        <input
          type="checkbox"
          checked={planning.plainFirst}
          onChange={(event) => acts.setPlainFirst(event.target.checked)}
        />
        pass 1 is plain
      </label>
    </div>
  );
}
