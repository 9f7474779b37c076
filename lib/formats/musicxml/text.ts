/** Characters that XML 1.0 cannot carry, not even escaped. Source: XML 1.0, production 2 (Char). */
const FORBIDDEN = /[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu;

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
};

/** A text as it stands in an element or between double quotes; what XML cannot carry is left out. */
export function escaped(text: string): string {
  return text.replace(FORBIDDEN, '').replace(/[&<>"]/g, (sign) => ESCAPES[sign] ?? sign);
}

/** `<name>text</name>`. */
export function element(name: string, text: string | number): string {
  return `<${name}>${typeof text === 'number' ? text : escaped(text)}</${name}>`;
}
