import abcjs from 'abcjs';

/** Start and length in ticks of 480 a quarter, MIDI number. */
export type HeardNote = readonly [start: number, length: number, midi: number];

function isNote(event: unknown): event is { start: number; duration: number; pitch: number } {
  return typeof event === 'object' && event !== null && 'cmd' in event && event.cmd === 'note';
}

/** What abcjs 6.7.2 plays of an ABC text, repeats played out, without its chords. */
export function heardByAbcjs(text: string): readonly HeardNote[] {
  const [tune] = abcjs.parseOnly(text);
  if (!tune) throw new Error('abcjs read no tune');
  const sequence: unknown = tune.setUpAudio({ chordsOff: true });
  if (typeof sequence !== 'object' || sequence === null || !('tracks' in sequence)) return [];
  const [track] = Array.isArray(sequence.tracks) ? sequence.tracks : [];
  const events: readonly unknown[] = Array.isArray(track) ? track : [];
  return events
    .filter(isNote)
    .map((e) => [Math.round(e.start * 1920), Math.round(e.duration * 1920), e.pitch]);
}
