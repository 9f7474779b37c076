import { readAbc } from '../../lib/formats/abc/read';
import type { Melody, MelodyMeasure } from '../../lib/melody';
import type { HeardNote } from '../reference/formats/abcjs';

function playedOut({ parts, form }: Melody): readonly MelodyMeasure[] {
  const times = new Map<string, number>();
  return form.flatMap((letter) => {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    const measures = parts.find((part) => part.letter === letter)?.measures ?? [];
    return measures.filter(({ endings }) => endings === undefined || endings.includes(time));
  });
}

/** What our reader makes of an ABC text, repeats and endings played out, tied notes joined. */
export function heardByUs(text: string): readonly HeardNote[] {
  const result = readAbc(text);
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  const heard: HeardNote[] = [];
  let start = 0;
  for (const { notes, ticks } of playedOut(result.value.melody)) {
    for (const { at, length, midi, tied } of notes) {
      const last = heard.at(-1);
      if (tied && last) heard.splice(-1, 1, [last[0], last[1] + length, midi]);
      else heard.push([start + at, length, midi]);
    }
    start += ticks;
  }
  return heard;
}
