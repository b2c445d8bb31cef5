/** What pages come to on paper: printed as PDF and read sheet by sheet, and drawings held against both common sizes. */
import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
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

/** Reads the words of a PDF; in Debian's poppler-utils. */
const READER = 'pdftotext';
const canRead = spawnSync(READER, ['-v']).error === undefined;
if (!canRead) {
  const reason = `no ${READER}: tests/browser/install-chromium.sh installs it`;
  if (process.env.CI === 'true')
    test('printed pages can be read', () => {
      expect.fail(reason);
    });
  else console.log(`tests of printed pages are skipped: ${reason}`);
}

/** Width and height between the margins, in CSS pixels (96 an inch): the sheet's (ISO 216, ANSI/ASME Y14.1) less 14 mm beside, 16 mm above and 18 mm beneath. */
const SHEETS = [
  { format: 'A4', width: 687, height: 994 },
  { format: 'Letter', width: 710, height: 927 },
] as const;

describe.skipIf(BROWSER === undefined || !canRead)('on paper', () => {
  let site: OnDisk;
  let browser: Browser;
  let page: Page;
  let pages: Map<string, string>;

  beforeAll(async () => {
    const files = await demoSite();
    site = await onDisk(files);
    browser = await openBrowser();
    page = (await watched(browser, site.urlOf(''), { width: 1000 })).page;
    pages = largestPages(files);
  });

  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  /** The lines of each sheet. */
  const printed = async (
    path: string,
  ): Promise<{ readonly title: string; readonly sheets: readonly (readonly string[])[] }> => {
    await page.goto(site.urlOf(path));
    const pdf = join(site.folder, 'printed.pdf');
    await page.pdf({ path: pdf, format: 'A4', preferCSSPageSize: true });
    const title = await page.title();
    const text = execFileSync(READER, ['-layout', pdf, '-'], { encoding: 'utf8' });
    const sheets = text.split('\f').slice(0, -1);
    return { title, sheets: sheets.map((sheet) => sheet.split('\n').filter((line) => line.trim() !== '')) };
  };

  test('every sheet says whose it is and which of how many, and none is empty', async () => {
    for (const [template, path] of pages) {
      // a month of the journal is a long text, and prints as one
      if (template === 'journal') continue;
      const { title, sheets } = await printed(path);
      for (const [i, lines] of sheets.entries()) {
        const foot = lines.at(-1)?.replace(/\s+/gu, ' ') ?? '';
        expect(foot, `${path}, sheet ${i + 1}`).toContain(`page ${i + 1} of ${sheets.length}`);
        if (!foot.includes('…')) expect(foot, `${path}, sheet ${i + 1}`).toContain(title.replace(/\s+/gu, ' '));
        expect(lines.length, `${path}, sheet ${i + 1}`).toBeGreaterThan(1);
      }
    }
  });

  test('a table that goes on to another sheet has its heading there again', async () => {
    const { sheets } = await printed('vessels.html');
    expect(sheets.length).toBeGreaterThan(2);
    for (const lines of sheets) expect(lines.join('\n')).toMatch(/Vessel\s+Kind\s+Room/u);
  });

  test.each(SHEETS)('no drawing is taller than a sheet, so that none is cut ($format)', async ({ width, height }) => {
    const { page } = await watched(browser, site.urlOf(''), { width, height });
    await page.emulateMedia({ media: 'print' });
    let seen = 0;
    for (const path of pages.values()) {
      await page.goto(site.urlOf(path));
      // a drawing is all of one piece to the printer, unless it is taller than what it is printed on
      const found = await page.evaluate<readonly number[]>(
        `[...document.querySelectorAll('svg')].filter((svg) => svg.checkVisibility()).map((svg) => svg.getBoundingClientRect().height)`,
      );
      for (const drawn of found) expect(drawn, path).toBeLessThan(height);
      seen += found.length;
    }
    expect(seen).toBeGreaterThan(50);
    await page.context().close();
  });
});
