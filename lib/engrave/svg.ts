import type { Picture, Primitive, Step } from './primitives';

export interface SvgOptions {
  /** What the picture says, for ears. Without it the picture is hidden from screen readers (its words stand elsewhere). */
  readonly title?: string;
  /** Id of the picture, unique on its page. */
  readonly id?: string;
  /**
   * For a page with many pictures, whose style sheet says of texts by their class how they are filled and anchored, and where nobody takes
   * hold of a stroke: that is left out then, and the picture is half as long.
   */
  readonly short?: boolean;
}

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Source: XML 1.0 (fifth edition), production 2, "Char". */
const NOT_XML = /[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu;

/** Text as it may stand in markup and in quoted attributes; characters that XML forbids are left out. */
function escaped(text: string): string {
  return text.replace(NOT_XML, '').replace(/[&<>"']/g, (char) => ESCAPES[char] ?? char);
}

/** At most two decimals, no trailing zeros, never "-0". */
function num(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}

function stepText(step: Step): string {
  const [letter, ...numbers] = step;
  return letter + numbers.map(num).join(' ');
}

/** A picture for short markup: nothing in it belongs to a stroke. */
function withoutStrokes(primitives: readonly Primitive[]): readonly Primitive[] {
  return primitives.map(({ stroke: _, ...primitive }) => primitive);
}

/** The attributes that all elements share: the class for CSS to colour, and the stroke that it belongs to. */
function shared({ role, stroke }: Primitive): string {
  return `class="tab-${role}"${stroke === undefined ? '' : ` data-stroke="${stroke}"`}`;
}

function lineSteps({ x1, y1, x2, y2 }: Extract<Primitive, { kind: 'line' }>): string {
  if (y1 === y2) return `M${num(x1)} ${num(y1)}H${num(x2)}`;
  if (x1 === x2) return `M${num(x1)} ${num(y1)}V${num(y2)}`;
  return `M${num(x1)} ${num(y1)}L${num(x2)} ${num(y2)}`;
}

function drawn(attributes: string, steps: string, width: number | undefined): string {
  const paint =
    width === undefined ? 'fill="currentColor" stroke="none"' : `stroke-width="${num(width)}"`;
  return `<path ${attributes} ${paint} d="${steps}"/>`;
}

function element(primitive: Primitive, short: boolean): string {
  const attributes = shared(primitive);
  switch (primitive.kind) {
    case 'line':
      return drawn(attributes, lineSteps(primitive), primitive.width);
    case 'path':
      return drawn(attributes, primitive.steps.map(stepText).join(''), primitive.width);
    case 'disc':
      return `<circle ${attributes} fill="currentColor" stroke="none" cx="${num(primitive.x)}" cy="${num(primitive.y)}" r="${num(primitive.r)}"/>`;
    case 'text': {
      const { x, y, size, anchor, text, width } = primitive;
      const narrowed =
        width === undefined ? '' : ` textLength="${num(width)}" lengthAdjust="spacingAndGlyphs"`;
      const middle = anchor === 'middle' ? ' text-anchor="middle"' : '';
      if (short)
        return `<text ${attributes} x="${num(x)}" y="${num(y)}" font-size="${num(size)}"${narrowed}>${escaped(text)}</text>`;
      return `<text ${attributes} fill="currentColor" stroke="none" x="${num(x)}" y="${num(y)}" font-size="${num(size)}"${middle}${narrowed}>${escaped(text)}</text>`;
    }
  }
}

/** Neighbouring lines with one pen and one owner become one element, which keeps a page of tab small. */
function elements(primitives: readonly Primitive[], short: boolean): readonly string[] {
  const written: string[] = [];
  for (let i = 0; i < primitives.length; i++) {
    const first = primitives[i];
    if (first?.kind !== 'line') {
      if (first) written.push(element(first, short));
      continue;
    }
    let steps = lineSteps(first);
    for (let next = primitives[i + 1]; next?.kind === 'line'; next = primitives[i + 1]) {
      if (next.role !== first.role || next.stroke !== first.stroke || next.width !== first.width)
        break;
      steps += lineSteps(next);
      i += 1;
    }
    written.push(drawn(shared(first), steps, first.width));
  }
  return written;
}

/**
 * The picture as a complete `<svg>` element, the only way into markup. Everything is `currentColor`; CSS colours by class
 * (`tab-staff`, `tab-fret`, ...) and finds what belongs to a stroke by `data-stroke`. It has a view box and no size: CSS gives one.
 */
export function svgOf(picture: Picture, { title, id, short = false }: SvgOptions = {}): string {
  const { view, height } = picture;
  const primitives = short ? withoutStrokes(picture.primitives) : picture.primitives;
  const name =
    title === undefined ? 'aria-hidden="true"' : `role="img" aria-label="${escaped(title)}"`;
  const head = title === undefined || short ? '' : `<title>${escaped(title)}</title>`;
  const own = id === undefined ? '' : ` id="${escaped(id)}"`;
  return `<svg xmlns="http://www.w3.org/2000/svg"${own} class="tab" viewBox="${num(view.x)} 0 ${num(view.width)} ${num(height)}" ${name} fill="none" stroke="currentColor">${head}${elements(primitives, short).join('')}</svg>`;
}
