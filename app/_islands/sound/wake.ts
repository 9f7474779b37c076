/** What some phones offer beside the standard, to tell music from noises that their silent switch is for. Source: W3C Audio Session, draft. */
interface WithAudioSession {
  readonly audioSession?: { type: string };
}

/**
 * An audio context that is allowed to sound; called from within a touch or a key, as browsers ask. Undefined where there is no
 * audio thread.
 */
export function wakeContext(): AudioContext | undefined {
  if (typeof AudioContext === 'undefined' || typeof AudioWorkletNode === 'undefined')
    return undefined;
  const { audioSession }: Navigator & WithAudioSession = navigator;
  if (audioSession) audioSession.type = 'playback';
  const context = new AudioContext({ latencyHint: 'balanced' });
  return context.audioWorklet ? context : undefined;
}
