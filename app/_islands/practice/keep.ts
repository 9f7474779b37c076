import type { Bpm } from '../../../lib/units';
import { practiceKeyOf } from '../session/kept-here';
import type { Settings } from './settings';
import { settingsFromText } from './settings';

/** What was practised here last; a private window may keep nothing. */
export function keptSettings(board: string, tune: Bpm): Settings | undefined {
  try {
    return settingsFromText(localStorage.getItem(practiceKeyOf(board)), tune);
  } catch (error) {
    if (error instanceof DOMException) return undefined;
    throw error;
  }
}

export function keepSettings(board: string, settings: Settings): void {
  try {
    localStorage.setItem(practiceKeyOf(board), JSON.stringify(settings));
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
  }
}
