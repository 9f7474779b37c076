import { useSyncExternalStore } from 'react';
import type { DeckState } from './deck';
import { deck } from './deck';

const FIRST = deck.state();

/** What the page's one player does, for views. */
export function useDeck(): DeckState {
  return useSyncExternalStore(deck.subscribe, deck.state, () => FIRST);
}
