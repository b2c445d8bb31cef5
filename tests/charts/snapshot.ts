/** Compares a drawing with the one kept beside the tests; a first drawing is kept, except where nobody could look at it. */
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { BOLD, NAME_SIZE, TICK_SIZE, widthOf } from '../../src/charts/labels.ts';

export function expectDrawing(name: string, svg: string): void {
  const kept = join(import.meta.dirname, `${name}.svg`);
  const changed = `${kept}.changed`;
  if (!existsSync(kept)) {
    expect(process.env.CI, `${name}.svg is missing`).not.toBe('true');
    writeFileSync(kept, svg);
  }
  if (readFileSync(kept, 'utf8') === svg) {
    rmSync(changed, { force: true });
    return;
  }
  writeFileSync(changed, svg);
  expect.fail(`the drawing differs from ${name}.svg; look at ${name}.svg.changed and keep it if it is right`);
}

/**
 * What every drawing owes: a name and a description, well-formed XML, rounded coordinates, no style of its own, nothing that
 * is not a number, and no word beyond its frame.
 */
export function expectGoodSvg(svg: string): void {
  expect(svg).toMatch(/^<svg class="chart"(?: role="img")? aria-labelledby="(\S+)-t \1-d" /u);
  expect(svg).toMatch(/<title id="[^"]+">[^<]+<\/title><desc id="[^"]+">[^<]+<\/desc>/u);
  expect(svg).not.toMatch(/NaN|Infinity|undefined|style=/u);
  expect(svg.replace(/<(title|desc|text)\b[^>]*>[^<]*<\/\1>/gu, '')).not.toMatch(/[0-9]\.[0-9]{2}/u);
  // Links inside one picture would be hidden from those who cannot see it.
  expect(svg.includes('<a ')).toBe(!svg.includes('role="img"'));
  expectWellFormed(svg);
  expectInFrame(svg);
}

/** Every element is closed in its order, attributes stand once and quoted, and no bracket or ampersand is left bare. */
export function expectWellFormed(svg: string): void {
  const open: string[] = [];
  const rest = svg.replace(
    /<(\/?)([a-z]+)((?:\s[a-zA-Z][a-zA-Z0-9-]*="[^"<>]*")*)\s*(\/?)>/gu,
    (_tag, closing: string, name: string, attributes: string, alone: string) => {
      const names = [...attributes.matchAll(/\s([a-zA-Z][a-zA-Z0-9-]*)="/gu)].map(([, attribute]) => attribute);
      expect(new Set(names).size, `${name}${attributes}`).toBe(names.length);
      if (closing === '/') expect(open.pop()).toBe(name);
      else if (alone === '') open.push(name);
      return '';
    },
  );
  expect(open).toEqual([]);
  expect(rest).not.toMatch(/[<>]/u);
  expect(svg.replace(/&(?:amp|lt|gt|quot|#39);/gu, '')).not.toContain('&');
}

interface Box {
  readonly words: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };
const BOLD_CLASSES = /\b(?:who|heading|unit|month|part-name)\b/u;
const SMALL_CLASSES = /\b(?:tick|strip|unit|heading|words|month|row-name)\b/u;

/** The words of a drawing with the room they take, by the estimate the charts use themselves. */
export function wordsIn(svg: string): Box[] {
  return [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/gu)].map(([, attributes = '', content = '']) => {
    const of = (name: string): string => new RegExp(`(?:^| )${name}="([^"]*)"`, 'u').exec(attributes)?.[1] ?? '';
    const words = content.replace(/&([a-z0-9#]+);/gu, (_found, name: string) => ENTITIES[name] ?? '');
    const look = of('class');
    const size = SMALL_CLASSES.test(look) ? TICK_SIZE : NAME_SIZE;
    const width = widthOf(words, size) * (BOLD_CLASSES.test(look) ? BOLD : 1);
    const anchor = of('text-anchor');
    const x = Number(of('x'));
    const left = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x;
    const y = Number(of('y'));
    return { words, left, right: left + width, top: y - 8.5, bottom: y + 2.5 };
  });
}

function expectInFrame(svg: string): void {
  const [, width, height] = /viewBox="0 0 ([0-9.]+) ([0-9.]+)"/u.exec(svg) ?? [];
  for (const { words, left, right, top, bottom } of wordsIn(svg)) {
    expect(left, words).toBeGreaterThanOrEqual(-1.5);
    expect(right, words).toBeLessThanOrEqual(Number(width) + 1.5);
    expect(top, words).toBeGreaterThanOrEqual(-1);
    expect(bottom, words).toBeLessThanOrEqual(Number(height) + 1);
  }
}

/** No word lies over another. */
export function expectApart(svg: string): void {
  const boxes = wordsIn(svg).filter(({ words }) => words !== '');
  const over: string[] = [];
  for (const [index, a] of boxes.entries()) {
    for (const b of boxes.slice(index + 1)) {
      const beside = a.right <= b.left + 1 || b.right <= a.left + 1;
      const beneath = a.bottom <= b.top + 1 || b.bottom <= a.top + 1;
      if (!beside && !beneath) over.push(`${a.words} / ${b.words}`);
    }
  }
  expect(over).toEqual([]);
}
