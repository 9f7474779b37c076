import type { Problem } from '../result';
import type { Fret, Ms } from '../units';
import { assertNever } from '../units';
import type { Hold } from './hold';
import { reachMm, SPAN } from './hold';
import type { Moment } from './moments';
import { secondsWords } from './seconds-words';

/** Index of the measure among those asked about, and of the stroke in it. */
export interface Place {
  readonly measure: number;
  readonly stroke: number;
}

/** A move of the hand along the neck, and the time from the note before it. */
export interface Shift extends Place {
  /** Positions of the hand before and after, from the capo. */
  readonly from: Fret;
  readonly to: Fret;
  readonly haveMs: Ms;
  readonly needMs: Ms;
}

/** Something that can be done but takes half of what there is or more. */
export interface HardMoment extends Place {
  /** At least 0.5; 1 is all the time there is. */
  readonly strain: number;
  readonly words: string;
}

/** What no hand can do: notes at once, a move in the time there is, a hammer, pull or slide out of the hand. */
export type FrettingImpossible = Problem<'no-fingers' | 'no-time' | 'out-of-hand', Place>;

/**
 * Strain of a stretch by this many mm counts as 1, so that one past a hand at the nut (fret 4 to 5, 29.8 mm) is just
 * hard.
 * Source: our estimate.
 */
const FULL_STRETCH_MM = 59;
/**
 * From this strain on a moment is called hard: half of the time there is.
 * Source: our estimate, common practice, no source.
 */
const HARD = 0.5;

/** A moment with the way in which it is held. */
export interface Held {
  readonly moment: Moment;
  readonly hold: Hold;
}

function lowestFret(moment: Moment): Fret {
  return Math.min(...moment.stopped.map(({ fret }) => fret));
}

/** Why a moment's notes cannot be stopped at once. */
export function noFingers({ measure, stroke, stopped }: Moment): FrettingImpossible {
  const frets = stopped.map(({ fret }) => fret);
  const wide = Math.max(...frets) - Math.min(...frets) > SPAN;
  const what = wide
    ? `frets ${Math.min(...frets)} and ${Math.max(...frets)} at once are further apart than a hand spans. Keep within ${SPAN + 1} frets.`
    : `${stopped.length} notes at once need fingers that are not there. Leave one out or open.`;
  return { code: 'no-fingers', where: { measure, stroke }, words: `Stroke ${stroke + 1}: ${what}` };
}

/** Why the move from one step to the next cannot be made. */
export function impossibleMove(a: Moment, b: Moment, haveMs: Ms, needMs: Ms): FrettingImpossible {
  const { measure, stroke, link } = b;
  const where = { measure, stroke };
  const nth = `Stroke ${stroke + 1}`;
  switch (link.kind) {
    case 'hammer':
    case 'pull':
    case 'slide': {
      const what = { hammer: 'a hammer-on', pull: 'a pull-off', slide: 'a slide' }[link.kind];
      return {
        code: 'out-of-hand',
        where,
        words: `${nth}: ${what} from fret ${link.from} to fret ${link.to} finds no fingers under one hand here. Choose a nearer fret.`,
      };
    }
    case 'free':
      return {
        code: 'no-time',
        where,
        words: `${nth}: from fret ${lowestFret(a)} to fret ${lowestFret(b)} in ${secondsWords(haveMs)}; the hand needs ${secondsWords(needMs)}. An open string or the drone in between buys time.`,
      };
    default:
      return assertNever(link);
  }
}

/** Shifts and stretches that are hard, the hardest first. */
export function hardOf(
  held: readonly Held[],
  shifts: readonly Shift[],
  capo: Fret,
): readonly HardMoment[] {
  const moves = shifts.map(
    ({ measure, stroke, from, to, haveMs, needMs }): HardMoment => ({
      measure,
      stroke,
      strain: needMs / haveMs,
      words: `Stroke ${stroke + 1}: the hand moves from fret ${from} to fret ${to} in ${secondsWords(haveMs)}.`,
    }),
  );
  const stretches = held.flatMap(({ moment, hold }): readonly HardMoment[] => {
    const { measure, stroke } = moment;
    const strain = reachMm(moment, hold, capo) / FULL_STRETCH_MM;
    const words = `Stroke ${stroke + 1}: the little finger stretches to fret ${hold.position + SPAN}.`;
    return [{ measure, stroke, strain, words }];
  });
  return [...moves, ...stretches]
    .filter(({ strain }) => strain >= HARD)
    .sort((a, b) => b.strain - a.strain);
}
