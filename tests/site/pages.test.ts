import { posix } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { CODES } from '../../grammar/codes.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { fixtureBook } from '../report/fixture.ts';
import { hrefsOf, idsOf, siteOf } from './build.ts';

let files: SiteFile[];
let pages: SiteFile[];
const progress: [number, number][] = [];
beforeAll(async () => {
  files = await siteOf(fixtureBook({ bins: 15 }), (done, total) => progress.push([done, total]));
  pages = files.filter(({ path }) => path.endsWith('.html'));
});

test('there is a page for every lot, vessel, file and code', () => {
  const paths = files.map(({ path }) => path);
  expect(paths).toContain('lots/ls-free.html');
  expect(paths).toContain('vessels/fb-01.html');
  expect(paths).toContain('journal/2026-09-harvest.html');
  expect(paths.filter((path) => path.startsWith('help/')).length).toBe(Object.keys(CODES).length);
  expect(new Set(paths.map((path) => path.toLowerCase())).size).toBe(paths.length);
  expect(progress.at(-1)).toEqual([pages.length, pages.length]);
});

test('the same book gives the same bytes', async () => {
  expect(await siteOf(fixtureBook({ bins: 15 }))).toEqual(files);
});

test('every link and every anchor leads somewhere, and none leads out', () => {
  const anchors = new Map(files.map(({ path, text }) => [path, new Set(idsOf(text))]));
  for (const { path, text } of pages) {
    for (const href of hrefsOf(text)) {
      const [to = '', anchor] = href.split('#');
      const target = to === '' ? path : posix.normalize(posix.join(posix.dirname(path), to));
      const there = anchors.get(target);
      expect(there, `${path} → ${href}`).toBeDefined();
      if (anchor !== undefined) expect(there?.has(anchor), `${path} → ${href}`).toBe(true);
    }
  }
});

test('every page can be reached from the first', () => {
  const texts = new Map(pages.map(({ path, text }) => [path, text]));
  const seen = new Set(['index.html']);
  for (const path of seen) {
    for (const href of hrefsOf(texts.get(path) ?? '')) {
      const target = posix.normalize(posix.join(posix.dirname(path), href.split('#')[0] || posix.basename(path)));
      if (texts.has(target)) seen.add(target);
    }
  }
  expect(pages.map(({ path }) => path).filter((path) => !seen.has(path))).toEqual([]);
});

describe('each page', () => {
  test('has one first heading, no heading level left out, and no id twice', () => {
    for (const { path, text } of pages) {
      const levels = [...text.matchAll(/<h([1-6])\b/gu)].map((match) => Number(match[1]));
      expect(levels.filter((level) => level === 1).length, path).toBe(1);
      expect(levels[0], path).toBe(1);
      levels.forEach((level, index) => {
        expect(level - (levels[index - 1] ?? 1), `${path}: h${level}`).toBeLessThanOrEqual(1);
      });
      const ids = idsOf(text);
      expect(new Set(ids).size, path).toBe(ids.length);
    }
  });

  test('has landmarks, a skip link and a policy that lets nothing in', () => {
    for (const { text } of pages) {
      expect(text).toContain('<html lang="en">');
      expect(text).toContain('<a class="skip" href="#main">');
      expect(text).toMatch(/<header[\s>].*<nav [^>]*aria-label.*<main id="main".*<footer[\s>]/su);
      expect(text).toContain(
        `http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;`.replaceAll('&#39;', "'"),
      );
    }
  });

  test('has no script and no style within it, nothing loaded from elsewhere', () => {
    for (const { path, text: page } of pages) {
      const root = path.includes('/') ? '../' : '';
      expect(page, path).toContain(`<script src="${root}site.js" defer></script>`);
      const text = page.replaceAll(/<script src="(?:\.\.\/)?(?:site|search-index)\.js" defer><\/script>/gu, '');
      expect(text, path).not.toMatch(/<script|<style|\sstyle=|\ssrc=|\son[a-z]+=|url\(/iu);
      expect(text.replaceAll(/xmlns="[^"]*"/gu, ''), path).not.toMatch(
        /<(?:link|img|iframe|object|embed)[^>]*https?:/iu,
      );
    }
  });

  test('stays small', () => {
    for (const { path, text } of pages) {
      if (!path.startsWith('journal/')) expect(Buffer.byteLength(text), path).toBeLessThan(150_000);
    }
  });

  test('stays small in a large cellar too', async () => {
    for (const { path, text } of await siteOf(fixtureBook({ bins: 250 }))) {
      if (!path.startsWith('journal/')) expect(Buffer.byteLength(text), path).toBeLessThan(150_000);
    }
  });

  test('tables have captions and heads, charts a table behind them', () => {
    for (const { path, text } of pages) {
      for (const [table] of text.matchAll(/<table>.*?<\/table>/gsu)) {
        if (path.startsWith('help/')) continue;
        expect(table, path).toMatch(/^<table>\s*<caption>/u);
        expect(table, path).toContain('<th scope="col"');
      }
    }
    const lot = pages.find(({ path }) => path === 'lots/ls.html')?.text ?? '';
    expect(lot.match(/<details><summary>The same as tables/gu)?.length).toBe(2);
  });
});

test('cautions stand where the work can hurt', () => {
  const text = (path: string): string => pages.find((page) => page.path === path)?.text ?? '';
  expect(text('lots/ls.html')).toContain('Caution: Carbon dioxide');
  expect(text('lots/ls.html')).toContain('Caution: Sulfur dioxide');
  expect(text('lots/ls.html')).toContain('Caution: Claims on a label');
  expect(text('lots/ls-free.html')).not.toContain('Caution: Carbon dioxide');
  expect(text('index.html')).toContain('Caution: Bins and tanks');
});

test('an empty book still makes a site', async () => {
  const book = fixtureBook();
  const empty = await siteOf({
    ...book,
    settings: { ...book.settings, name: '' },
    files: [],
    vessels: [],
    lots: [],
    blocks: [],
    origins: [],
    materials: [],
    happenings: [],
    struck: [],
    findings: [],
  });
  const index = empty.find(({ path }) => path === 'index.html')?.text ?? '';
  expect(index).toContain('The cellar book');
  expect(index).not.toMatch(/NaN|undefined/u);
});
