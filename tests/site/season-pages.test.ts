/** The pages a winemaker opens first: the cellar today, the ferments, a lot, from block to bottle, the days. */
import { posix } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { SiteFile } from '../../src/site/pages.ts';
import { bookOf, fermentingText, finishedText } from '../report/small-cellar.ts';
import { hrefsOf, idsOf, siteOf } from './build.ts';

const sites = new Map<string, Map<string, string>>();
beforeAll(async () => {
  const asMap = (files: readonly SiteFile[]): Map<string, string> =>
    new Map(files.map(({ path, text }) => [path, text]));
  sites.set('fermenting', asMap(await siteOf(bookOf(fermentingText()))));
  sites.set('finished', asMap(await siteOf(bookOf(finishedText()))));
  sites.set('bare', asMap(await siteOf(bookOf('vessel T1 tank 100 L\n'))));
});
const page = (site: string, path: string): string => sites.get(site)?.get(path) ?? '';
/** The words of a page, without its tags. */
const wordsOf = (html: string): string =>
  html
    .replace(/<(?:svg|nav)\b.*?<\/(?:svg|nav)>/gsu, '')
    .replace(/<[^>]*>/gu, ' ')
    .replaceAll('\u00A0', ' ')
    .replace(/\s+/gu, ' ');
const MINE = [
  'index.html',
  'ferments.html',
  'lineage.html',
  'days.html',
  'days/2026.html',
  'lots/ls.html',
  'lots/ls-free.html',
];

describe('every one of them', () => {
  test('leads only to what is there', () => {
    for (const [site, files] of sites) {
      for (const path of MINE) {
        for (const href of hrefsOf(files.get(path) ?? '')) {
          const [to = '', anchor] = href.split('#');
          const target = to === '' ? path : posix.normalize(posix.join(posix.dirname(path), to));
          expect(files.has(target), `${site}: ${path} → ${href}`).toBe(true);
          if (anchor !== undefined) {
            expect(idsOf(files.get(target) ?? ''), `${site}: ${path} → ${href}`).toContain(anchor);
          }
        }
      }
    }
  });

  test('has a table behind each chart, and nothing that is no figure', () => {
    for (const [site, files] of sites) {
      for (const path of MINE) {
        const html = files.get(path);
        if (html === undefined) continue;
        expect(wordsOf(html), `${site}: ${path}`).not.toMatch(/NaN|undefined|\[object/u);
        for (const [, chart = '', after = ''] of html.matchAll(
          /(<figure\b.*?<\/figure>)(.*?)(?=<figure\b|<\/main>)/gsu,
        )) {
          expect(chart).toContain('<desc');
          if (!path.startsWith('lots/')) expect(after, `${site}: ${path}`).toMatch(/<table\b/u);
        }
      }
    }
  });

  test('says what is not there, and which line would put it there', () => {
    expect(wordsOf(page('bare', 'ferments.html'))).toMatch(
      /Nothing ferments on this day\. .*crush.*press.*readings brix/u,
    );
    expect(wordsOf(page('bare', 'lineage.html'))).toMatch(/No lot has held wine yet\. .*receive.*found.*bring/u);
    expect(wordsOf(page('bare', 'days.html'))).toMatch(/The journal tells of no day yet/u);
    expect(wordsOf(page('bare', 'index.html'))).toMatch(/Nothing calls for attention/u);
    expect(wordsOf(page('bare', 'index.html'))).toMatch(/Nothing is in any vessel on this day/u);
  });
});

test('the cellar tells what calls for attention before its vessels, and leads from every name to its place', () => {
  const html = page('fermenting', 'index.html');
  const at = (text: string): number => html.indexOf(text);
  expect(at('To look at first')).toBeLessThan(at('id="fermenting"'));
  expect(at('id="fermenting"')).toBeLessThan(at('Bins, crush pad</h2>'));
  expect(html).toMatch(/<nav class="plan"[^>]*>.*<a class="red works" href="#v-b1">B1<\/a>/su);
  expect(html).toContain('<li class="vessel" id="v-b1">');
  expect(wordsOf(html)).toContain('Today 2 punch-downs');
});

test('what ferments brings the caution about gas wherever it is told', () => {
  for (const path of ['index.html', 'ferments.html', 'lots/ls.html'])
    expect(page('fermenting', path), path).toContain('Caution: Carbon dioxide');
  for (const path of ['index.html', 'ferments.html', 'lots/ls-free.html'])
    expect(page('finished', path), path).not.toContain('Caution: Carbon dioxide');
});

test('a lot’s page begins with a list of its parts, and each is there', () => {
  const html = page('finished', 'lots/ls-free.html');
  const list = /<nav aria-label="On this page">(.*?)<\/nav>/su.exec(html)?.[1] ?? '';
  const parts = hrefsOf(list);
  expect(parts).toContain('#chemistry');
  for (const part of parts) expect(html, part).toContain(`<h2 id="${part.slice(1)}">`);
  expect(parts.length).toBe([...html.matchAll(/<h2 id=/gu)].length);
});

test('molecular sulfur dioxide never stands without its method', () => {
  const words = wordsOf(page('finished', 'lots/ls-free.html'));
  expect(words).toContain('0.45 mg/L molecular (free 28 mg/L on 20 Nov 2026, pH 3.6 (10 Nov); by pKa 1.81');
  expect(words).toContain('Molecular = free / (1 + 10^(pH − 1.81))');
  expect(words).toMatch(/In all it has had \d+ mg\/L of sulfur dioxide/u);
});

test('a name of the journal is text wherever these pages show it', async () => {
  const text = finishedText().replaceAll('LS-free', '"<b>&\'x"').replaceAll('ledge-2', '"<i>"');
  const files = await siteOf(bookOf(text));
  for (const { path, text: html } of files) {
    if (path.endsWith('.html')) expect(html, path).not.toMatch(/<b>&'x|<i>/u);
  }
  expect(files.find(({ path }) => path === 'lineage.html')?.text).toContain('&lt;i&gt;');
});

test('a note on the newest days leads where its writer meant, from the root as from a folder', async () => {
  const text = fermentingText().replace('| Clear, 9 C at dawn.', '| See [the map](map.md).');
  const files = await siteOf(bookOf(`${text}\n2027-01-02\n    | See [the map](map.md).\n09:00 note T1 -- swept\n`));
  const html = (path: string): string => files.find((file) => file.path === path)?.text ?? '';
  expect(html('days.html')).toContain('href="map.md"');
  expect(html('days/2026.html')).toContain('href="../map.md"');
});
