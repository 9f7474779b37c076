import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Rung } from '../../../shared/board/ladder';
import { onceMore } from '../../../shared/board/ladder';
import type { Passage } from '../../../shared/board/lesson';
import { lessonOf } from '../../../shared/board/lesson';
import type { Board } from '../../../shared/board/schema';
import { deck } from '../sound/deck';
import type { Heard } from '../sound/player';
import { useDeck } from '../sound/use-deck';
import { keepSettings, keptSettings } from './keep';
import { roundsOf } from './rounds';
import type { Settings } from './settings';
import { firstSettings } from './settings';

const NAME = 'practice';

export interface Practice {
  readonly settings: Settings;
  readonly lesson: readonly Passage[];
  readonly playing: boolean;
  /** Where it is, as it is heard; undefined while nothing is played. */
  readonly heard: Heard | undefined;
  /** What is changed while it plays counts from the next bar line on, or from the next round where that has other measures. */
  readonly change: (change: Partial<Settings>) => void;
  readonly toggle: () => void;
  /** The round was not clean: its tempo once more. */
  readonly again: () => void;
}

/** Follows what is heard for as long as something is played; a new value with every beat. */
function useHeard(playing: boolean): Heard | undefined {
  const [heard, setHeard] = useState<Heard>();
  useEffect(() => {
    if (!playing) {
      setHeard(undefined);
      return;
    }
    let frame = 0;
    let last = '';
    const step = () => {
      const now = deck.heard();
      const key = `${now?.index} ${now?.measure} ${now?.beat}`;
      if (key !== last) setHeard(now);
      last = key;
      frame = requestAnimationFrame(step);
    };
    step();
    return () => cancelAnimationFrame(frame);
  }, [playing]);
  return heard;
}

/** The practice of one board: what is set, what that makes, and how far it is. */
export function usePractice(board: Board): Practice {
  const { id, tune } = board;
  const [settings, setSettings] = useState(() => firstSettings(tune.tempo, tune.parts[0]?.letter));
  const rung = useRef<Rung>({ round: 0, tempo: settings.tempo });
  const { playing: name } = useDeck();
  const playing = name === NAME;
  const heard = useHeard(playing);
  const { choice, stretch, afterPlain, changesOnly } = settings;
  const lesson = useMemo(
    () => lessonOf(board, { choice, stretch, afterPlain, changesOnly }),
    [board, choice, stretch, afterPlain, changesOnly],
  );
  useEffect(() => {
    const kept = keptSettings(id, tune.tempo);
    if (kept) setSettings(kept);
  }, [id, tune.tempo]);
  const { melody, drone } = settings;
  useEffect(() => deck.setStrings({ melody, drone }), [melody, drone]);
  useEffect(() => () => deck.stop(), []);

  const change = (change: Partial<Settings>) => {
    const next = { ...settings, ...change };
    setSettings(next);
    keepSettings(id, next);
    const now = deck.heard();
    if (!playing || !now) return;
    if ('tempo' in change) rung.current = { round: now.index, tempo: next.tempo };
    else if ('stepUp' in change || 'alternate' in change || 'rounds' in change || 'step' in change)
      rung.current = { round: now.index + 1, tempo: now.round.request.tempo };
    const changed = lessonOf(board, next);
    if (changed.length === 0) deck.stop();
    else deck.changeRounds(roundsOf(board, changed, next, rung.current));
  };
  const toggle = useCallback(() => {
    if (playing) {
      deck.stop();
      return;
    }
    if (lesson.length === 0) return;
    rung.current = { round: 0, tempo: settings.tempo };
    void deck.play(NAME, roundsOf(board, lesson, settings, rung.current));
  }, [playing, lesson, board, settings]);
  const again = useCallback(() => {
    const now = deck.heard();
    if (!playing || !now || !settings.stepUp) return;
    rung.current = onceMore(settings, rung.current, now.index);
    deck.changeRounds(roundsOf(board, lesson, settings, rung.current));
  }, [playing, lesson, board, settings]);
  return { settings, lesson, playing, heard, change, toggle, again };
}
