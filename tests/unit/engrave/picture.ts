import type { Picture, Role } from '../../../lib/engrave/primitives';

/** The string whose line is nearest to this height, read from where the picture says its staff is. */
function stringAt(picture: Picture, y: number): number {
  const { top, bottom } = picture.places.staff;
  return Math.round(((y - top) / (bottom - top)) * 4) + 1;
}

/** The printed fret numbers in the order they are drawn, by the string that they stand on. */
export function numbersOf(picture: Picture) {
  return picture.primitives.flatMap((each) =>
    each.kind === 'text' && each.role === 'fret'
      ? [
          {
            fret: Number(each.text),
            string: stringAt(picture, each.y - each.size * 0.35),
            stroke: each.stroke,
            x: each.x,
            width: each.width ?? each.text.length * each.size * 0.65,
          },
        ]
      : [],
  );
}

/** Where the line of a string is interrupted, from left to right. */
export function gapsOn(picture: Picture, string: number) {
  const pieces = picture.primitives
    .flatMap((each) => (each.kind === 'line' && each.role === 'staff' ? [each] : []))
    .filter(({ y1 }) => stringAt(picture, y1) === string)
    .sort((a, b) => a.x1 - b.x1);
  const ends = [0, ...pieces.map(({ x2 }) => x2)];
  const starts = [...pieces.map(({ x1 }) => x1), picture.width];
  return ends
    .map((from, i) => ({ from, to: starts[i] ?? from }))
    .filter(({ from, to }) => to - from > 1e-9);
}

/** The texts of one role in the order they are drawn. */
export function textsOf(picture: Picture, role: Role): readonly string[] {
  return picture.primitives.flatMap((each) =>
    each.kind === 'text' && each.role === role ? [each.text] : [],
  );
}

/** How many primitives have this role. */
export function countOf(picture: Picture, role: Role): number {
  return picture.primitives.filter((each) => each.role === role).length;
}
