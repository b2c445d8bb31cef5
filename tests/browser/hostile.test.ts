/** A journal that wants to be more than text, built from the disk and opened in a browser: nothing runs and nothing is asked for. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { tame } from '../../src/report/escape.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { siteOf } from '../site/build.ts';
import { HOSTILE, hostileJournal } from '../site/hostile.ts';
import { askForBrowser, BROWSER, type OnDisk, onDisk, openBrowser, watched } from './browser.ts';

askForBrowser();

describe.skipIf(BROWSER === undefined)('a hostile journal', () => {
  let journal: string;
  let files: readonly SiteFile[];
  let site: OnDisk;
  let browser: Browser;

  beforeAll(async () => {
    journal = mkdtempSync(join(tmpdir(), 'hostile-'));
    for (const { path, text } of hostileJournal()) writeFileSync(join(journal, path), text);
    const read = readFolder(journal);
    files = await siteOf(makeBook(read.files, undefined, checkJournal));
    site = await onDisk(files);
    browser = await openBrowser();
  });

  afterAll(async () => {
    await browser?.close();
    await site?.remove();
    rmSync(journal, { recursive: true, force: true });
  });

  test('does nothing on any page, read and used', async () => {
    const { page, faults } = await watched(browser, site.urlOf(''), { width: 1280 });
    // The pages that explain findings hold nothing of the journal.
    const paths = files.map(({ path }) => path).filter((path) => path.endsWith('.html') && !path.startsWith('help/'));
    expect(paths.length).toBeGreaterThan(HOSTILE.length * 3);
    for (const path of paths) {
      await page.goto(site.urlOf(path));
      await page.evaluate('inPage.use()');
      expect(await page.evaluate<string[]>('inPage.trap()'), path).toEqual([]);
      expect(await page.evaluate<string[]>('inPage.turned()'), path).toEqual([]);
    }
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test('is found as the text it is', async () => {
    const { page, faults } = await watched(browser, site.urlOf(''), { width: 1280 });
    await page.goto(site.urlOf('search.html'));
    for (const text of HOSTILE) {
      // What hides or turns its neighbours is shown, and so found, by its number.
      const word =
        tame(text.replaceAll('"', "'"))
          .split(/\s/u)
          .find((part) => part !== '') ?? '';
      await page.getByRole('searchbox').fill(word);
      expect(await page.locator('.found li').count(), word).toBeGreaterThan(0);
      expect(await page.locator('.found :not(li, a, bdi, mark, span)').count(), word).toBe(0);
    }
    expect(await page.evaluate<string[]>('inPage.trap()')).toEqual([]);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test('breaks no page out of its window, however long its words', async () => {
    const { page } = await watched(browser, site.urlOf(''), { width: 320 });
    const paths = ['index.html', 'lots.html', 'vessels.html', 'findings.html', 'search.html'];
    const long = files.filter(({ path, text }) => path.startsWith('lots/') && text.includes('A'.repeat(4000)));
    for (const path of [...paths, ...long.slice(0, 3).map((file) => file.path)]) {
      await page.goto(site.urlOf(path));
      expect(await page.evaluate<number>('inPage.overflow()'), path).toBeLessThanOrEqual(0);
    }
    expect(long.length).toBeGreaterThan(0);
    await page.context().close();
  });
});
