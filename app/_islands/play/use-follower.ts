import { useEffect, useRef, useState } from 'react';
import type { Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import type { Levels } from '../sound/levels';
import { ALL_STRINGS, FIRST_LEVELS, keepLevels, keptLevels, mixOf } from '../sound/levels';
import type { Follower } from './follower';
import type { Music } from './heard';
import type { Wish } from './wish';
import { isHeard } from './wish';

interface Opened {
  readonly context: AudioContext;
  readonly follower: Promise<Follower>;
}

/** What one hears while everybody plays: the sound is loaded and opened when it is first wanted. */
export function useFollower(transport: Transport, music: Music, now: () => Ms, wish: Wish) {
  const opened = useRef<Opened>(undefined);
  const [follower, setFollower] = useState<Follower>();
  const [levels, setLevels] = useState<Levels>(FIRST_LEVELS);
  const [silence, setSilence] = useState<string>();
  useEffect(() => setLevels(keptLevels()), []);
  useEffect(() => {
    follower?.follow(transport, music, wish);
  }, [follower, transport, music, wish]);
  useEffect(
    () => () => {
      void opened.current?.context.close();
    },
    [],
  );

  const open = (): Opened => {
    const context = new AudioContext({ latencyHint: 'balanced' });
    const load = async () => {
      const { openFollower } = await import('./open-follower');
      const found = await openFollower(context, mixOf(levels, ALL_STRINGS), now, music, wish);
      setSilence(found.silence);
      setFollower(found.follower);
      return found.follower;
    };
    return { context, follower: load() };
  };
  /** Called from within a touch or a key: browsers start sound only then. */
  const wake = async (next: Wish) => {
    if (!isHeard(next)) return;
    opened.current ??= open();
    await opened.current.context.resume();
    await opened.current.follower;
  };
  const change = (next: Levels) => {
    setLevels(next);
    keepLevels(next);
    follower?.setMix(mixOf(next, ALL_STRINGS));
  };
  return { wake, levels, change, silence };
}
