/**
 * An audio context that is allowed to sound; called from within a touch or a key, as browsers ask. Undefined where there is no
 * audio thread.
 */
export function wakeContext(): AudioContext | undefined {
  if (typeof AudioContext === 'undefined' || typeof AudioWorkletNode === 'undefined')
    return undefined;
  const context = new AudioContext({ latencyHint: 'balanced' });
  return context.audioWorklet ? context : undefined;
}
