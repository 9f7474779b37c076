import type { Primitive, Step } from './primitives';
import { lineOf, SIZES } from './sizes';
import type { Value } from './values';

/** A filled block: the half rest lies on the middle line, the whole rest hangs from the one above. */
function block(x: number, top: number): readonly Step[] {
  const half = 5;
  const thick = 4;
  return [
    ['M', x - half, top],
    ['L', x + half, top],
    ['L', x + half, top + thick],
    ['L', x - half, top + thick],
    ['Z'],
  ];
}

function quarter(x: number, y: number): readonly Step[] {
  return [
    ['M', x - 2, y - 10],
    ['L', x + 2.6, y - 4.2],
    ['Q', x - 2.6, y - 0.6, x + 3, y + 4.6],
    ['Q', x - 4.4, y + 2.4, x + 0.4, y + 9.4],
  ];
}

/** The hooks and the slanted stem of an eighth rest and shorter ones. */
function hooked(x: number, y: number, hooks: number): readonly Step[] {
  const foot = y + 7 + (hooks - 1) * 2.5;
  const top = y - 5 - (hooks - 1) * 2.5;
  const lean = (at: number) => x + 3 - ((at - top) / (foot - top)) * 4;
  const steps: Step[] = [
    ['M', lean(top), top],
    ['L', lean(foot), foot],
  ];
  for (let i = 0; i < hooks; i++) {
    const at = top + i * 5;
    steps.push(['M', lean(at) - 5.5, at + 1], ['Q', lean(at) - 2.5, at + 3.6, lean(at), at]);
  }
  return steps;
}

/** The printed rest of one value in the middle of the staff. */
export function restSign(stroke: number, x: number, value: Value): readonly Primitive[] {
  const y = lineOf(3);
  const drawn = { kind: 'path', role: 'rest', stroke } as const;
  const signs: Primitive[] = [];
  if (value.stem === 'none') signs.push({ ...drawn, steps: block(x, y - SIZES.space) });
  else if (value.stem === 'half') signs.push({ ...drawn, steps: block(x, y - 4) });
  else if (value.beams === 0) signs.push({ ...drawn, width: 1.7, steps: quarter(x, y) });
  else {
    signs.push({ ...drawn, width: 1.2, steps: hooked(x, y, value.beams) });
    for (let i = 0; i < value.beams; i++)
      signs.push({
        kind: 'disc',
        role: 'rest',
        stroke,
        x: x - 2.2 - i * 1.4,
        y: y - 4 - (value.beams - 1) * 2.5 + i * 5,
        r: 1.5,
      });
  }
  if (value.dotted)
    signs.push({
      kind: 'disc',
      role: 'dot',
      stroke,
      x: x + SIZES.dotAway + 3,
      y: y - SIZES.space / 2,
      r: SIZES.dot,
    });
  return signs;
}
