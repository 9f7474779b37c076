/**
 * Every size of the drawing, in its own units: the lines of the staff are 10 apart. What the fretting hand does is printed
 * above the staff, what the picking hand does below it. All measures are equally tall and their staffs equally high, so that
 * pictures side by side join to one staff. Common practice of printed tab, no source; settled by looking.
 */
export const SIZES = {
  /** Between two lines of the staff. */
  space: 10,
  /** y of string 1: above it stand the ending or chord, then the letters of the fretting hand. */
  staffTop: 36,
  /** The whole picture: staff, stems, the letters of the picking hand. */
  height: 122,
  /** The least distance from one fret number to the next. */
  betweenFrets: 1.5,
  /** Left free at the right edge, for the flag of a last stroke between slots. */
  lastRoom: 3,

  staffLine: 0.7,
  barLine: 1.2,
  heavyBar: 3,
  betweenBars: 2.6,
  repeatDot: 1.5,

  fretText: 12.5,
  /** A white rim left and right of a fret number, where the line of its string is left out. */
  fretRim: 1.4,
  chopArm: 3.2,
  chopPen: 1.5,

  /** From the lowest line down to where stems begin (clear of numbers on string 5), and to where they end. */
  stemStart: 8,
  stemEnd: 27,
  stem: 1.1,
  /** The stem of a half note is this part of a full one. */
  halfStem: 0.5,
  beam: 2.8,
  betweenBeams: 4.6,
  stubBeam: 6,
  flagWidth: 6,
  flagHeight: 8,
  dot: 1.1,
  dotAway: 4,
  tieDepth: 4,

  brushAway: 2.2,
  brushPen: 0.8,
  brushHead: 2.4,

  slurPen: 1,
  slurRise: 4.5,
  slurAway: 2.6,
  /** A slur that begins outside the measure or nowhere starts this far left of its note. */
  slurStub: 11,
  /** Numbers nearer than this are joined from top to top, and a slide's line is left to its letters. */
  slurTight: 8,
  slurTop: 5.2,
  slideTilt: 2.2,
  /** A slide's line hangs this far below its string, to keep clear of the slur. */
  slideDrop: 0.8,
  slidePen: 1.2,

  markText: 9,
  /** Baseline of H, P and SL, measured up from string 1. */
  markAbove: 11.5,
  /** Baseline of T and of a triplet's 3, measured down from string 5. */
  markBelow: 39,
  tripletText: 8,
  /** Fingers of the fretting hand stand in a line of their own below all else, which makes the picture taller. */
  fingerText: 9,
  fingerRow: 13,

  chordText: 13,
  chordBaseline: 13,
  /** A chord begins this far left of its stroke's middle. */
  chordBefore: 4,
  endingText: 9,
  endingTop: 2,
  endingBaseline: 12,
  endingHook: 12,
  numberText: 7,
  numberAbove: 3,

  warningPen: 0.9,
  warningHalf: 11,
  warningHook: 3,
  warningReach: 7,
  warningBeside: 6,
  warningText: 10,
  changedPen: 1.6,
  changedHook: 4,
} as const;

/** How far apart slots stand. */
export interface Pitch {
  /** From the left edge to the first slot. */
  readonly left: number;
  /** From slot to slot. */
  readonly slot: number;
  /** Half of what a fret number may take in width; a wider one is drawn narrower, as tall as the others. */
  readonly mostHalf: number;
}

/** Room for a repeat sign and half a fret of two digits; from slot to slot for two frets of two digits and a slur between them. */
export const WIDE: Pitch = { left: 18, slot: 26, mostHalf: Number.POSITIVE_INFINITY };
/** As near as numbers can stand: for reading from a distance, where the numbers must be large and the screen is not. */
export const CLOSE: Pitch = { left: 11, slot: 14, mostHalf: 6 };

/**
 * Widest figure and height of figures and capitals, as parts of the text size. An estimate, since nothing here can measure
 * text: numbers are centred, so it only decides how much of a line is left out around them.
 * Source: measured on Atkinson Hyperlegible Next at weights 400 and 600 (0.65 and 0.67 to 0.70); other sans faces are narrower.
 */
const DIGIT_WIDTH = 0.65;
const CAP_HEIGHT = 0.69;

/** y of the line of a string; string 1 is on top. */
export function lineOf(string: number): number {
  return SIZES.staffTop + (string - 1) * SIZES.space;
}

/** Half the width that a fret number takes. */
export function halfWidth(fret: number, { mostHalf }: Pitch): number {
  return Math.min(mostHalf, (String(fret).length * DIGIT_WIDTH * SIZES.fretText) / 2);
}

/** The baseline that centres figures or capitals of this size on `y`. */
export function baselineAt(y: number, size: number): number {
  return y + (size * CAP_HEIGHT) / 2;
}
