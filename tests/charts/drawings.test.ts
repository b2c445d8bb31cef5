import { expect, test } from 'vitest';
import { drawings } from '../../src/site/drawings.ts';
import {
  barrel,
  calendar,
  fermentWithForecast,
  lineageOf,
  malic,
  manyFerments,
  ripeningOf,
  sulfur,
} from './samples.ts';

const up = (href: string): string => `../${href}`;

/** What a page might draw, each as a page asks for it. */
const page = (): string[] => [
  drawings.ferment(fermentWithForecast(2)),
  drawings.ferments(manyFerments(3), up),
  drawings.sulfur(sulfur(3)),
  drawings.sulfur(sulfur(2), 'sulfur-2'),
  drawings.falling(malic(2)),
  drawings.ripening(ripeningOf(2)),
  drawings.lineage(lineageOf(2, 3, 3), up),
  drawings.calendar(calendar(200)),
  drawings.barrel(barrel, up),
  drawings.barrelCell(barrel),
];

test('every chart comes in two widths, each id once on a page, the same bytes twice', () => {
  const drawn = page();
  expect(page()).toEqual(drawn);
  for (const one of drawn.slice(0, -1)) {
    expect(one).toMatch(/^<div class="wide"><svg [^>]*width="720"[\s\S]*<div class="narrow"><svg [^>]*width="328"/u);
  }
  const ids = [...drawn.join('').matchAll(/ id="([^"]+)"/gu)].map(([, id]) => id);
  expect(new Set(ids).size).toBe(ids.length);
  expect(ids.length).toBe(2 * 2 * 9);
});

test('links lead from the page they stand on', () => {
  const hrefs = [
    ...page()
      .join('')
      .matchAll(/<a href="([^"]+)"/gu),
  ].map(([, href = '']) => href);
  expect(hrefs.length).toBeGreaterThan(10);
  for (const href of hrefs) expect(href).toMatch(/^\.\.\/(?:lots|fruit)/u);
});

test('only elements are drawn that a page may hold', () => {
  const elements = new Set(
    [
      ...page()
        .join('')
        .matchAll(/<([a-z]+)/gu),
    ].map(([, name]) => name),
  );
  expect([...elements].sort()).toEqual([
    'a',
    'circle',
    'desc',
    'div',
    'g',
    'line',
    'path',
    'rect',
    'svg',
    'text',
    'title',
  ]);
});
