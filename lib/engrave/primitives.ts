/**
 * What a picture is made of, without a screen. Units are those of `SIZES` (a staff space is 10); x runs right, y down, and
 * (0, 0) is the top left corner. Colour, font and weight are left to whoever shows it, by role.
 */
export type Role =
  | 'staff'
  | 'bar'
  | 'repeat'
  | 'fret'
  | 'chop'
  | 'stem'
  | 'beam'
  | 'flag'
  | 'dot'
  | 'tie'
  | 'rest'
  | 'brush'
  | 'slur'
  | 'slide'
  | 'mark'
  | 'finger'
  | 'triplet'
  | 'chord'
  | 'ending'
  | 'number'
  | 'warning'
  | 'changed';

interface Drawn {
  readonly role: Role;
  /** Index of the stroke that this belongs to; absent for what belongs to the measure. */
  readonly stroke?: number;
}

/** A straight line of this width. */
export interface Line extends Drawn {
  readonly kind: 'line';
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly width: number;
}

/** One step of a path: move to, line to, quadratic curve (control, end), close. */
export type Step =
  | readonly ['M' | 'L', number, number]
  | readonly ['Q', number, number, number, number]
  | readonly ['Z'];

/** An outline: filled where it has no `width`, else drawn with a pen of that width. */
export interface Path extends Drawn {
  readonly kind: 'path';
  readonly steps: readonly Step[];
  readonly width?: number;
}

/** A filled dot of radius `r`. */
export interface Disc extends Drawn {
  readonly kind: 'disc';
  readonly x: number;
  readonly y: number;
  readonly r: number;
}

/** Words or figures on a baseline. `x` is their middle or their start. */
export interface Text extends Drawn {
  readonly kind: 'text';
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly anchor: 'start' | 'middle';
  readonly text: string;
  /** Drawn so wide, and as tall as ever; absent: as wide as it is. */
  readonly width?: number;
}

export type Primitive = Line | Path | Disc | Text;

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Where things stand, for marking the stroke that is played and for taking hold of one. */
export interface Places {
  /** One for every stroke of the measure, in order. The boxes lie side by side and leave nothing between them. */
  readonly strokes: readonly { readonly x: number; readonly box: Box }[];
  /** Centres of the slots from the measure's start to its end. */
  readonly slots: readonly number[];
  /** The top and the bottom line of the staff. */
  readonly staff: { readonly top: number; readonly bottom: number };
}

export interface Picture {
  readonly width: number;
  /**
   * The stretch from left to right to show it in, so that all measures of a tune have one scale: a full measure's width, with a blank before a
   * pickup and after a measure that ends early.
   */
  readonly view: { readonly x: number; readonly width: number };
  readonly height: number;
  readonly primitives: readonly Primitive[];
  readonly places: Places;
}
