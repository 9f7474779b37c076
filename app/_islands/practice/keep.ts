import type { Bpm } from '../../../lib/units';
import type { Settings } from './settings';
import { settingsFromText } from './settings';

const keyOf = (board: string) => `passround/practice/${board}`;

/** What was practised here last; a private window may keep nothing. */
export function keptSettings(board: string, tune: Bpm): Settings | undefined {
  try {
    return settingsFromText(localStorage.getItem(keyOf(board)), tune);
  } catch (error) {
    if (error instanceof DOMException) return undefined;
    throw error;
  }
}

export function keepSettings(board: string, settings: Settings): void {
  try {
    localStorage.setItem(keyOf(board), JSON.stringify(settings));
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
  }
}
