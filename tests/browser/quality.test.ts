/** What every sort of page owes its readers: accessible, small, still, quiet, narrow enough, and all of it in reach of the keyboard. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { SiteFile } from '../../src/site/pages.ts';
import {
  askForBrowser,
  BROWSER,
  demoSite,
  largestPages,
  type OnDisk,
  onDisk,
  openBrowser,
  watched,
} from './browser.ts';

askForBrowser();

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** All that axe-core looks for, and what it has to be asked for: targets that a finger can hit. */
const ALL = { rules: { 'target-size': { enabled: true } } };
/** By night only the colours differ from the day, and the same colours stand in a narrow window: the slowest rules by far. */
const COLOURS = { runOnly: ['color-contrast', 'link-in-text-block'] };
const SHAPES = { rules: { ...ALL.rules, 'color-contrast': { enabled: false } } };

interface AxeFound {
  readonly violations: readonly { readonly id: string; readonly nodes: readonly { readonly target: string[] }[] }[];
}

interface Reached {
  readonly missed: readonly number[];
  readonly unseen: readonly number[];
}

describe.skipIf(BROWSER === undefined)('one page of every template', () => {
  let files: readonly SiteFile[];
  let site: OnDisk;
  let browser: Browser;
  /** The largest page of each. */
  let pages: Map<string, string>;

  beforeAll(async () => {
    files = await demoSite();
    site = await onDisk(files);
    browser = await openBrowser();
    pages = largestPages(files);
  });

  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  const shortestPage = (folder: string): string =>
    files.filter(({ path }) => path.startsWith(folder)).reduce((a, b) => (b.text.length < a.text.length ? b : a)).path;

  test('is looked at', () => {
    expect(pages.size).toBeGreaterThanOrEqual(11);
    for (const { path, text } of files) {
      if (path.endsWith('.html')) expect(text, path).toMatch(/<body data-page="[a-z-]+"/u);
    }
  });

  test('is of a size that opens at once', () => {
    for (const { path, text } of files) {
      const large = path.startsWith('journal/') || path === 'search-index.js';
      if (!large) expect(Buffer.byteLength(text), path).toBeLessThan(150_000);
    }
  });

  test.each([
    { width: 1280, colorScheme: 'light', rules: ALL },
    { width: 1280, colorScheme: 'dark', rules: COLOURS },
    { width: 320, colorScheme: 'light', rules: SHAPES },
  ] as const)('has no fault that axe-core finds ($width pixels, $colorScheme)', async ({ rules, ...look }) => {
    const { page, faults } = await watched(browser, site.urlOf(''), look);
    // The policy lets nothing be fetched, the stylesheet neither: axe-core reads it as the page has it.
    const options = JSON.stringify({ resultTypes: ['violations'], preload: false, ...rules });
    const found: string[] = [];
    for (const path of pages.values()) {
      await page.goto(site.urlOf(path));
      await page.evaluate('inPage.reachable()');
      if (path === 'search.html') await page.getByRole('searchbox').fill('rack');
      await page.evaluate(AXE);
      const { violations } = await page.evaluate<AxeFound>(`axe.run(document, ${options})`);
      for (const { id, nodes } of violations) {
        found.push(
          `${path}: ${id} at ${nodes
            .map(({ target }) => target.join(' '))
            .slice(0, 3)
            .join(', ')}`,
        );
      }
    }
    expect(found).toEqual([]);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test.each([
    { width: 1280, height: 900 },
    { width: 320, height: 700 },
  ])('stands still and says nothing on the console ($width pixels)', async (look) => {
    const { page, faults } = await watched(browser, site.urlOf(''), look);
    for (const path of pages.values()) {
      await page.goto(site.urlOf(path));
      await page.evaluate('new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))');
      expect(await page.evaluate<number>('inPage.moved()'), path).toBe(0);
    }
    expect(faults).toEqual([]);
    await page.context().close();
  });

  // 1280 by 1024 pixels at four times their size are 320 by 256.
  test.each([
    { name: '320 pixels', height: 700, spaced: false },
    { name: '400 % and spaced text', height: 256, spaced: true },
  ])('fits its window, the menu too ($name)', async ({ height, spaced }) => {
    const { page } = await watched(browser, site.urlOf(''), { width: 320, height });
    for (const path of pages.values()) {
      await page.goto(site.urlOf(path));
      if (spaced) await page.evaluate('inPage.spaceText()');
      expect(await page.evaluate<number>('inPage.overflow()'), path).toBeLessThanOrEqual(0);
      expect(await page.evaluate<number>('inPage.menuFaults()'), path).toBe(0);
    }
    await page.context().close();
  });

  test.each([1280, 320])(
    'gives the keyboard every link and control, and shows where it is (%i pixels)',
    async (width) => {
      const { page } = await watched(browser, site.urlOf(''), { width });
      for (const [template, largest] of pages) {
        // A page of the journal has a link a line: a short one does.
        const path = template === 'journal' ? shortestPage('journal/') : largest;
        await page.goto(site.urlOf(path));
        const count = await page.evaluate<number>('inPage.reachable()');
        await Promise.all(Array.from({ length: count }, () => page.keyboard.down('Tab')));
        const { missed, unseen } = await page.evaluate<Reached>('inPage.reached()');
        const first = missed[0] ?? unseen[0];
        const name = first === undefined ? '' : await page.evaluate<string>(`inPage.nameOf(${first})`);
        expect({ missed, unseen, name }, path).toEqual({ missed: [], unseen: [], name: '' });
      }
      await page.context().close();
    },
  );
});
