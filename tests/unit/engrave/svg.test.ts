import { describe, expect, test } from 'vitest';
import { engraveMeasure } from '../../../lib/engrave/measure';
import { svgOf } from '../../../lib/engrave/svg';
import { bar } from '../../kit/tab';

const picture = engraveMeasure(bar('4/4', 's3 h3.2 b123 t5 | s2.1 . b123 t5'), { chord: 'G' });

describe('a picture as SVG', () => {
  test('has a view box of the size of the picture and no size of its own', () => {
    const [tag] = /^<svg[^>]*>/.exec(svgOf(picture)) ?? [''];
    expect(tag).toContain(`viewBox="0 0 ${picture.width} ${picture.height}"`);
    expect(tag).not.toMatch(/ (width|height|style)=/);
  });

  test('is an image with a name where it has a title, and hidden from ears where not', () => {
    expect(svgOf(picture, { title: 'Strike.' })).toMatch(
      /^<svg [^>]*role="img" aria-label="Strike\."[^>]*><title>Strike\.<\/title>/,
    );
    expect(svgOf(picture)).toContain('aria-hidden="true"');
    expect(svgOf(picture)).not.toMatch(/role=|<title>/);
  });

  test('escapes title, id and words', () => {
    const evil = `<script>"'&`;
    const svg = svgOf(engraveMeasure(bar('4/4', 's3'), { chord: evil }), { title: evil, id: evil });
    expect(svg).not.toContain('<script>');
    expect(svg.split('&lt;script&gt;&quot;&#39;&amp;')).toHaveLength(5);
  });

  test('leaves out characters that XML forbids', () => {
    expect(svgOf(picture, { title: 'a\u0000\u0008b\uFFFE' })).toContain('aria-label="ab"');
  });

  test('is half as long, with the same places and words, where a style sheet says the rest', () => {
    const [whole, short] = [{}, { short: true }].map((more) =>
      svgOf(picture, { title: 'T.', ...more }),
    );
    expect(short?.length).toBeLessThan(0.6 * (whole?.length ?? 0));
    const texts = (svg: string | undefined) =>
      [
        ...(svg ?? '').matchAll(/<text class="([^"]*)".*? x="([^"]*)" y="([^"]*)".*?>([^<]*)</g),
      ].map(([, ...parts]) => parts);
    expect(texts(short)).toEqual(texts(whole));
    expect(texts(short).length).toBeGreaterThan(8);
    const steps = (svg: string | undefined) =>
      [...(svg ?? '').matchAll(/ d="([^"]*)"/g)].map(([, d]) => d).join('');
    expect(steps(short)).toBe(steps(whole));
    expect(short).toContain('aria-label="T."');
  });

  test('leaves all colour to CSS', () => {
    const paints = [...svgOf(picture).matchAll(/ (?:fill|stroke)="([^"]*)"/g)].map(
      ([, paint]) => paint,
    );
    expect(new Set(paints)).toEqual(new Set(['none', 'currentColor']));
    expect(svgOf(picture)).not.toMatch(/style=|font-family=/);
  });

  test('marks every fret number with the stroke that it belongs to', () => {
    const numbers = [
      ...svgOf(picture).matchAll(/<text class="tab-fret" data-stroke="(\d+)"[^>]*>(\d+)</g),
    ];
    expect(numbers.map(([, stroke, fret]) => `${stroke}:${fret}`)).toEqual([
      '0:0',
      '1:2',
      '2:0',
      '2:0',
      '2:0',
      '3:0',
      '4:1',
      '5:0',
      '5:0',
      '5:0',
      '6:0',
    ]);
  });

  test('draws the whole staff as one element', () => {
    expect(svgOf(picture).match(/class="tab-staff"/g)).toHaveLength(1);
  });

  test('rounds to two decimals', () => {
    expect(svgOf(picture)).not.toMatch(/\d\.\d{3}/);
  });
});
