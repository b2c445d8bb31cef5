/** Text of the journal is data: whatever it holds, a page shows it and does nothing with it. */
import { runInNewContext } from 'node:vm';
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { fixtureBook } from '../report/fixture.ts';
import { hrefsOf, idsOf, siteOf } from './build.ts';
import { HOSTILE, hostileJournal } from './hostile.ts';

const name = (text: string, more = ''): string => text + more;

describe.each(HOSTILE)('%#: hostile text', (text) => {
  test('comes out as text, in every place a page shows it', async () => {
    const files = await siteOf(
      fixtureBook({
        names: {
          cellar: name(text),
          lots: [name(text), name(text, ' free'), name(text, ' bottled')],
          vessel: name(text, ' tank'),
          file: name(text, '.cellar'),
          block: name(text),
          variety: name(text),
          material: name(text),
          note: name(text, '\n\n| a | b |\n|---|---|\n| 1 | 2 |'),
          remark: name(text),
          hand: name(text),
          message: name(text),
        },
      }),
    );
    expectSound(files);
    const lots = files.find(({ path }) => path === 'lots.html')?.text ?? '';
    // Only our own marks, about words from right to left, each closed.
    // biome-ignore lint/suspicious/noControlCharactersInRegex: a control character is what must not be there.
    expect(lots.replace(/\u2068[^\u2068\u2069]*\u2069/gu, '')).not.toMatch(/[\u202A-\u202E\u2066-\u2069\u0000]/u);
  });
});

test('a journal of such texts makes a site like any other', async () => {
  const book = makeBook(hostileJournal(), undefined, checkJournal);
  // The texts have arrived: they are names, not lines that could not be read.
  expect(book.lots.length).toBe(HOSTILE.length);
  expect(book.happenings.length).toBeGreaterThan(HOSTILE.length * 6);
  const files = await siteOf(book);
  expectSound(files);
  const lots = files.filter(({ path }) => path.startsWith('lots/'));
  expect(lots.length).toBe(HOSTILE.length);
  for (const { path, text } of lots) expect(text, path).toContain('<div class="text"');
});

test('files of such names, and of ones that climb, have pages of their own', async () => {
  const files = hostileJournal().map(({ path, text }, at) => ({
    path: at === 0 ? path : `${HOSTILE[at - 1]}.cellar`,
    text,
  }));
  const site = await siteOf(makeBook(files, undefined, checkJournal));
  expectSound(site);
  expect(site.filter(({ path }) => path.startsWith('journal/')).length).toBe(files.length);
});

/** What every site owes, whatever is in it. */
function expectSound(files: readonly SiteFile[]): void {
  const paths = files.map(({ path }) => path);
  expect(new Set(paths).size).toBe(paths.length);
  for (const path of paths) expect(path).toMatch(/^(?:[a-z]+\/)?[a-z0-9-]+\.(?:html|css|js|svg)$/u);
  for (const { path, text: html } of files) {
    if (!path.endsWith('.html')) continue;
    expectHarmless(html, path);
    expect((html.match(/<h1\b/gu) ?? []).length, path).toBe(1);
    expect((html.match(/<\/html>/gu) ?? []).length, path).toBe(1);
    const ids = idsOf(html);
    expect(new Set(ids).size, path).toBe(ids.length);
  }
  const script = files.find(({ path }) => path === 'search-index.js')?.text ?? '';
  expect(script).not.toMatch(/<|\u2028|\u2029/u);
  const scope: Record<string, unknown> = {};
  runInNewContext(script, scope);
  expect(Object.keys(scope)).toEqual(['ullageIndex']);
}

/** Walks the tags of a page: only elements and attributes that our own templates and notes use may be there. */
function expectHarmless(page: string, path: string): void {
  const html = page.replaceAll(OWN_SCRIPT, '');
  // Ours begin the page, and the search page's index ends it.
  expect(page.match(OWN_SCRIPT)?.length, path).toBe(path === 'search.html' ? 2 : 1);
  for (const [tag, element = '', attributes = ''] of html.matchAll(
    /<([a-z][a-z0-9]*)((?:\s+[^\s=>"']+(?:="[^"]*")?)*)\s*\/?>/giu,
  )) {
    expect(ELEMENTS.has(element.toLowerCase()), `${path}: ${tag}`).toBe(true);
    for (const [, attribute = ''] of attributes.matchAll(/([^\s="]+)(?:="[^"]*")?/gu)) {
      expect(attribute, `${path}: ${tag}`).not.toMatch(/^(?:on|style$|src$|srcset$|action$|formaction$|xlink)/iu);
    }
  }
  // What is not a tag of the shape above holds no bracket at all: nothing half open.
  const rest = html
    .replace(/<!doctype html>/u, '')
    .replace(/<\/?[a-z][a-z0-9]*(?:\s+[^\s=>"'<]+(?:="[^"<>]*")?)*\s*\/?>/giu, '');
  expect(rest, path).not.toMatch(/[<]/u);
  for (const href of hrefsOf(html)) {
    expect(href, path).toMatch(/^(?:https?:\/\/|mailto:|#|(?![a-z][a-z0-9+.-]*:|\/|\\))/iu);
    expect(href, path).not.toMatch(/^\s*(?:javascript|data|file|vbscript)\s*:/iu);
  }
}

const OWN_SCRIPT = /<script src="(?:\.\.\/)?(?:site|search-index)\.js" defer><\/script>/gu;

const ELEMENTS = new Set(
  (
    'html head meta title link body a header p nav ul ol li main footer h1 h2 h3 h4 h5 h6 dl div dt dd span section aside strong ' +
    'svg desc path g circle line text rect table caption thead tbody tfoot tr th td time figure figcaption details summary mark ' +
    'code pre em del sup blockquote hr br form label input output'
  ).split(' '),
);
