import type { Picture, Primitive, Step } from './primitives';

/**
 * Where the rows of a picture go when they are drawn together, from y to y: chord, letters of the fretting hand, staff, start, middle and
 * end of stems, letters of the picking hand, bracket. Between two of them it goes evenly. Text keeps its size, so rows come as near as
 * their letters let them. Settled by looking; `tests/property/engrave.test.ts` holds that nothing collides.
 */
const ROWS: readonly (readonly [from: number, to: number])[] = [
  [0, 0],
  [13, 10],
  [24.5, 18.5],
  [31, 24],
  [81, 74],
  [84, 76],
  [93.5, 81],
  [103, 90],
  [115, 98.2],
  [122, 103],
];

function movedY(y: number): number {
  const next = ROWS.findIndex(([from]) => from >= y);
  const [above, below] = [ROWS[next - 1], ROWS[next]];
  if (!below) return y + 103 - 122;
  if (!above) return y;
  return above[1] + ((y - above[0]) / (below[0] - above[0])) * (below[1] - above[1]);
}

function movedStep(step: Step): Step {
  if (step[0] === 'Z') return step;
  if (step[0] === 'Q') return ['Q', step[1], movedY(step[2]), step[3], movedY(step[4])];
  return [step[0], step[1], movedY(step[2])];
}

function moved(primitive: Primitive): Primitive {
  switch (primitive.kind) {
    case 'line':
      return { ...primitive, y1: movedY(primitive.y1), y2: movedY(primitive.y2) };
    case 'path':
      return { ...primitive, steps: primitive.steps.map(movedStep) };
    case 'disc':
    case 'text':
      return { ...primitive, y: movedY(primitive.y) };
  }
}

/** The picture with its rows drawn together: a sixth less tall, its numbers as large as before. */
export function drawnTogether(picture: Picture): Picture {
  const { places } = picture;
  const height = movedY(picture.height);
  return {
    ...picture,
    height,
    primitives: picture.primitives.map(moved),
    places: {
      ...places,
      strokes: places.strokes.map(({ x, box }) => ({ x, box: { ...box, height } })),
      staff: { top: movedY(places.staff.top), bottom: movedY(places.staff.bottom) },
    },
  };
}
