import type { PageImage } from './poppler';
import { DOTS } from './poppler';

/** A staff of five lines that was found on a page, in dots. */
export interface Staff {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
  /** From bar line to bar line. */
  readonly measures: number;
}

interface Stretch {
  readonly y: number;
  readonly from: number;
  readonly to: number;
}

/** Darker than this is ink. A thin line's grey is lighter than its ink. */
const INK = 200;
/** A line of the staff is interrupted by numbers: by no more than this, in mm. */
const GAP = 9;
/** Shorter stretches are no staff, in mm. */
const SHORTEST = 25;
/** How much of a line is drawn in spite of its numbers. */
const DRAWN = 0.6;
/** Lines of one staff are nearer to one another than this, in mm. */
const APART = 6;
/** Thin and heavy bar lines side by side are one, in mm. */
const BAR = 3.2;

export function isInk({ rgb, width }: PageImage, x: number, y: number): boolean {
  return (rgb[(y * width + x) * 3] ?? 255) < INK;
}

/** Long, mostly dark stretches of one row. */
function stretchesOf(page: PageImage, y: number): readonly Stretch[] {
  const found: Stretch[] = [];
  let from = -1;
  let last = -1;
  let dark = 0;
  const end = () => {
    const length = last - from + 1;
    if (from >= 0 && length >= SHORTEST * DOTS && dark >= DRAWN * length)
      found.push({ y, from, to: last });
    from = -1;
    dark = 0;
  };
  for (let x = 0; x < page.width; x += 1) {
    if (!isInk(page, x, y)) continue;
    if (from >= 0 && x - last > GAP * DOTS) end();
    if (from < 0) from = x;
    last = x;
    dark += 1;
  }
  end();
  return found;
}

/** Horizontal lines: stretches in rows that follow each other, as one. */
function linesOf(page: PageImage): readonly Stretch[] {
  const lines: Stretch[] = [];
  let open: Stretch[] = [];
  for (let y = 0; y < page.height; y += 1) {
    const here = stretchesOf(page, y);
    const next: Stretch[] = [];
    for (const stretch of here) {
      const above = open.find(({ to }) => Math.abs(to - stretch.to) <= DOTS);
      if (!above) lines.push(stretch);
      next.push(stretch);
    }
    open = next;
  }
  return lines;
}

/** Groups of columns that are dark from the first line to the fifth. */
function barsOf(page: PageImage, { top, bottom, left, right }: Omit<Staff, 'measures'>): number {
  let bars = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (let x = left; x <= right; x += 1) {
    let y = top;
    while (y <= bottom && isInk(page, x, y)) y += 1;
    if (y <= bottom) continue;
    if (x - last > BAR * DOTS) bars += 1;
    last = x;
  }
  return bars;
}

/** The whole staffs on a page: five lines, evenly apart, that end together; what stands close before one may seem to belong to it. */
export function stavesOn(page: PageImage): readonly Staff[] {
  const lines = linesOf(page);
  const staves: Staff[] = [];
  for (const { y: top, to: right } of lines) {
    const isInside = staves.some((staff) => top <= staff.bottom && right === staff.right);
    const five = lines.filter(({ y, to }) => y >= top && Math.abs(to - right) <= DOTS).slice(0, 5);
    const apart = ((five[4]?.y ?? top) - top) / 4;
    const isEven =
      apart <= APART * DOTS && five.every(({ y }, i) => Math.abs(y - top - i * apart) <= 1.5);
    if (isInside || five.length < 5 || !isEven) continue;
    const left = Math.max(...five.map(({ from }) => from));
    const staff = { top, bottom: five[4]?.y ?? top, left, right };
    staves.push({ ...staff, measures: barsOf(page, staff) - 1 });
  }
  return staves;
}
