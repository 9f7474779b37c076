import { useEffect } from 'react';

/** Keeps the screen awake while `wanted`, where the browser can. Source: Screen Wake Lock API; a lock ends when the page is hidden. */
export function useAwake(wanted: boolean): void {
  useEffect(() => {
    if (!wanted || !('wakeLock' in navigator)) return;
    let lock: WakeLockSentinel | undefined;
    let over = false;
    const hold = async () => {
      if (document.visibilityState !== 'visible' || (lock && !lock.released)) return;
      try {
        const held = await navigator.wakeLock.request('screen');
        if (over) await held.release();
        else lock = held;
      } catch (error) {
        // Refused, mostly to save the battery: the person's own settings stand.
        if (!(error instanceof DOMException)) throw error;
      }
    };
    void hold();
    document.addEventListener('visibilitychange', hold);
    return () => {
      over = true;
      document.removeEventListener('visibilitychange', hold);
      void lock?.release();
    };
  }, [wanted]);
}
