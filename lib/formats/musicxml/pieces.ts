import type { Meter } from '../../rhythm';
import { marksOf } from '../../tab/marks';
import type { By, Measure, Note, Stroke } from '../../tab/measure';
import type { Ticks } from '../../units';
import { assertNever } from '../../units';
import type { Value } from './values';
import { valuesOf } from './values';

/** How the fretting hand joins two sounds of one string. */
export type Joint = 'hammer-on' | 'pull-off' | 'slide';

/** A note of a piece with what joins it to others. */
export interface PieceNote extends Note {
  /** It is sounded by the fretting hand. */
  readonly stops?: Joint;
  /** Whether a note before it in this measure carries the matching start. */
  readonly started: boolean;
  /** The fretting hand goes on from it. */
  readonly starts?: Joint;
}

/** A stroke, or one of the values that are tied together to write it. */
export interface Piece {
  readonly at: Ticks;
  readonly by: By;
  readonly value: Value;
  /** From the lowest string to the highest, as a brush goes; none in a rest. */
  readonly notes: readonly PieceNote[];
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
  /** The thumb leaves the drone. */
  readonly dropped: boolean;
  readonly stroke: number;
  /** Brackets of triplets that begin or end here. */
  readonly tuplet: readonly ('start' | 'stop')[];
  /** For each level of beams from 1 what stands at this piece. */
  readonly beams: readonly Beam[];
}
export type Beam = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook';

function jointOf(by: By): Joint | undefined {
  switch (by) {
    case 'hammer':
      return 'hammer-on';
    case 'pull':
      return 'pull-off';
    case 'slide':
      return 'slide';
    case 'strike':
    case 'brush':
    case 'thumb':
    case 'pluck':
    case 'chop':
    case 'rest':
      return undefined;
    default:
      return assertNever(by);
  }
}

function bare(strokes: readonly Stroke[]): readonly Piece[] {
  const marks = marksOf({ strokes });
  const starts = new Map<string, Joint>();
  for (const [i, { by, notes }] of strokes.entries()) {
    const [joint, from, string] = [jointOf(by), marks[i]?.from, notes[0]?.string];
    if (joint && from !== undefined) starts.set(`${from}.${string}`, joint);
  }
  return strokes.flatMap(({ at, length, by, notes }, stroke) => {
    const values = valuesOf(length);
    const joint = jointOf(by);
    let reached = at;
    return values.map((value, i): Piece => {
      const [isFirst, isLast] = [i === 0, i === values.length - 1];
      const placed = notes.toReversed().map((note): PieceNote => {
        const begins = isLast ? starts.get(`${stroke}.${note.string}`) : undefined;
        const stops = isFirst && note === notes[0] ? joint : undefined;
        return {
          ...note,
          started: marks[stroke]?.from !== undefined,
          ...(stops ? { stops } : {}),
          ...(begins ? { starts: begins } : {}),
        };
      });
      const piece = {
        at: reached,
        by,
        value,
        notes: placed,
        tiedFrom: !isFirst && notes.length > 0,
        tiedTo: !isLast && notes.length > 0,
        dropped: isFirst && marks[stroke]?.letter === 'T',
        stroke,
        tuplet: [],
        beams: [],
      };
      reached += value.ticks;
      return piece;
    });
  });
}

/**
 * Where brackets of triplets begin and end: as soon as they fill a straight value, or else around what stands together, since some
 * readers take no triplet without a bracket.
 */
function tupletSpans(
  pieces: readonly Piece[],
): readonly (readonly [first: number, last: number])[] {
  const spans: [number, number][] = [];
  let sum = 0;
  let shortest = 0;
  let open = false;
  for (const [i, { value }] of pieces.entries()) {
    if (!value.triplet) open = false;
    else {
      const span = open ? spans.at(-1) : undefined;
      if (span) span[1] = i;
      else spans.push([i, i]);
      sum = (span ? sum : 0) + value.ticks;
      shortest = span ? Math.min(shortest, value.ticks) : value.ticks;
      open = sum % (3 * shortest) !== 0;
    }
  }
  return spans;
}

function withTuplets(pieces: readonly Piece[]): readonly Piece[] {
  const spans = tupletSpans(pieces);
  if (spans.length === 0) return pieces;
  const starts = new Set(spans.map(([first]) => first));
  const stops = new Set(spans.map(([, last]) => last));
  return pieces.map((piece, i) => ({
    ...piece,
    tuplet: [
      ...(starts.has(i) ? (['start'] as const) : []),
      ...(stops.has(i) ? (['stop'] as const) : []),
    ],
  }));
}

function beamAt(group: readonly Piece[], i: number, level: number): Beam | undefined {
  const has = (place: number) => (group[place]?.value.beams ?? 0) >= level;
  if (!has(i)) return undefined;
  const [before, after] = [has(i - 1), has(i + 1)];
  if (before && after) return 'continue';
  if (before) return 'end';
  if (after) return 'begin';
  if (level === 1) return undefined;
  return i === 0 ? 'forward hook' : 'backward hook';
}

function isBeamed({ notes, value }: Piece): boolean {
  return notes.length > 0 && value.beams > 0;
}

/** Beams over each beat of the meter; rests, quarters and the brackets of triplets break them. */
function withBeams(pieces: readonly Piece[], meter: Meter, startsAt: Ticks): readonly Piece[] {
  const beatOf = ({ at }: Piece) => Math.floor((startsAt + at) / meter.beat);
  const groups: Piece[][] = [];
  for (const piece of pieces) {
    const last = groups.at(-1)?.at(-1);
    const goesOn = last && isBeamed(piece) && isBeamed(last) && beatOf(piece) === beatOf(last);
    const bracket = piece.tuplet.includes('start') || last?.tuplet.includes('stop');
    if (goesOn && !bracket) groups.at(-1)?.push(piece);
    else groups.push([piece]);
  }
  return groups.flatMap((group) => {
    if (group.length === 1) return group;
    return group.map((piece, i) => {
      const levels = Array.from({ length: piece.value.beams }, (_, l) => beamAt(group, i, l + 1));
      return { ...piece, beams: levels.filter((beam) => beam !== undefined) };
    });
  });
}

/** A measure that is filled exactly as the notes that are written, in order of time. */
export function piecesOf({ strokes, meter, startsAt }: Measure): readonly Piece[] {
  return withBeams(withTuplets(bare(strokes)), meter, startsAt);
}
