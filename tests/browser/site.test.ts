/** Opens the demo's site from the disk in a real browser and walks every page of it. */
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { writeSite } from '../../src/site/write.ts';
import { siteOf } from '../site/build.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const BROWSERS = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const found = BROWSERS.find((path) => existsSync(path));

if (found === undefined) {
  const reason = `no browser in ${BROWSERS.join(', ')}: tests/browser/install-chromium.sh installs one`;
  if (process.env.CI === 'true') {
    test('a browser is there', () => {
      expect.fail(reason);
    });
  } else {
    console.log(`browser tests are skipped: ${reason}`);
  }
}

/** As `in-page.js` tells it. */
interface Told {
  readonly headings: number;
  readonly ids: readonly string[];
  readonly links: readonly string[];
  readonly styled: boolean;
  readonly language: string;
  readonly named: boolean;
}

interface Watch {
  readonly width: number;
  readonly colorScheme?: 'light' | 'dark';
}

describe.skipIf(found === undefined)('the demo’s site in a browser', () => {
  let folder: string;
  let browser: Browser;
  /** One page of each sort, and a few of the sorts that differ most. */
  let sample: string[];

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'demo-site-'));
    const { files } = readFolder(join(ROOT, 'demo-journal'));
    await writeSite(await siteOf(makeBook(files, undefined, checkJournal)), folder);
    browser = await chromium.launch({
      executablePath: found ?? '',
      args: [
        '--headless',
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    });
    sample = await sampleOf();
  });

  afterAll(async () => {
    await browser?.close();
    if (folder !== undefined) await rm(folder, { recursive: true, force: true });
  });

  const urlOf = (path: string): string => pathToFileURL(join(folder, path)).href;

  /** A page that notes whatever a quiet, self-contained site must not do. */
  async function watched({ width, colorScheme = 'light' }: Watch): Promise<{ page: Page; faults: string[] }> {
    const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme });
    await context.addInitScript({ path: join(import.meta.dirname, 'in-page.js') });
    const page = await context.newPage();
    const faults: string[] = [];
    page.on('console', (message) => {
      if (message.type() === 'error' || message.type() === 'warning') faults.push(`${page.url()}: ${message.text()}`);
    });
    page.on('pageerror', (error) => faults.push(`${page.url()}: ${error.message}`));
    page.on('requestfailed', (request) => {
      // What is still on its way when the test goes on to the next page is given up, and no fault of the page.
      if (request.failure()?.errorText !== 'net::ERR_ABORTED') faults.push(`${page.url()}: ${request.url()} failed`);
    });
    page.on('request', (request) => {
      const inside = request.url().startsWith(pathToFileURL(`${folder}/`).href);
      if (!inside) faults.push(`${page.url()}: asked for ${request.url()}`);
    });
    return { page, faults };
  }

  async function sampleOf(): Promise<string[]> {
    const { page } = await watched({ width: 1280 });
    const hrefs = async (path: string, selector: string): Promise<string[]> => {
      await page.goto(urlOf(path));
      return page.evaluate<string[]>(`inPage.hrefs(${JSON.stringify(selector)})`);
    };
    const lots = await hrefs('lots.html', 'tbody a');
    const vessels = await hrefs('vessels.html', 'tbody th a');
    const journal = await hrefs('journal.html', 'main li a');
    await page.context().close();
    return [
      'index.html',
      'lots.html',
      'vessels.html',
      'fruit.html',
      'findings.html',
      'journal.html',
      'help.html',
      'help/merge-conflict.html',
      'help/weight-disagrees.html',
      ...lots.slice(0, 6),
      ...lots.slice(-6),
      ...vessels.filter((_, index) => index % 12 === 0),
      ...journal.slice(0, 4),
    ];
  }

  test('every page is reached by links, and every link and anchor leads somewhere', async () => {
    const { page, faults } = await watched({ width: 1280 });
    const queue = [urlOf('index.html')];
    const seen = new Set(queue);
    const anchors = new Map<string, Set<string>>();
    const wanted: { from: string; to: string; anchor: string }[] = [];
    for (let url = queue.shift(); url !== undefined; url = queue.shift()) {
      await page.goto(url);
      const told = await page.evaluate<Told>('inPage.told()');
      expect(told.headings, url).toBe(1);
      expect(told.styled, `${url} has no stylesheet`).toBe(true);
      expect(told.language).toBe('en');
      expect(told.named, url).toBe(true);
      anchors.set(url, new Set(told.ids));
      for (const link of told.links) {
        const [to = '', anchor = ''] = link.split('#');
        expect(to.startsWith(urlOf('')), `${url} → ${link}`).toBe(true);
        wanted.push({ from: url, to, anchor });
        if (seen.has(to)) continue;
        expect(existsSync(fileURLToPath(to)), `${url} → ${link}`).toBe(true);
        seen.add(to);
        queue.push(to);
      }
    }
    for (const { from, to, anchor } of wanted) {
      if (anchor !== '') expect(anchors.get(to)?.has(anchor), `${from} → ${to}#${anchor}`).toBe(true);
    }
    expect(anchors.size).toBeGreaterThan(150);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test.each([320, 390, 1280])('nothing is wider than a window of %i pixels', async (width) => {
    const { page, faults } = await watched({ width, colorScheme: width === 390 ? 'dark' : 'light' });
    for (const path of sample) {
      await page.goto(urlOf(path));
      expect(await page.evaluate<number>('inPage.overflow()'), `${path} at ${width}`).toBeLessThanOrEqual(0);
    }
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test.each(['light', 'dark'] as const)('words stand out from what they are written on (%s)', async (colorScheme) => {
    const { page } = await watched({ width: 1280, colorScheme });
    for (const path of sample) {
      await page.goto(urlOf(path));
      await page.evaluate('inPage.overflow()');
      expect(await page.evaluate<string[]>('inPage.faint()'), path).toEqual([]);
    }
    await page.context().close();
  });

  test('the keyboard finds the skip link first, and a line that is asked for is marked', async () => {
    const { page } = await watched({ width: 1280 });
    await page.goto(urlOf('index.html'));
    await page.keyboard.press('Tab');
    expect(await page.evaluate('inPage.focused()')).toBe('#main');
    await page.keyboard.press('Enter');
    expect(await page.evaluate('inPage.focused()')).toBe('main');
    await page.goto(urlOf('journal.html'));
    await page.click('main li a');
    await page.goto(`${page.url()}#L3`);
    expect(await page.evaluate('inPage.background("L3")')).not.toBe(await page.evaluate('inPage.background("L4")'));
    await page.context().close();
  });

  test('on paper there is neither menu nor colour behind the words', async () => {
    const { page } = await watched({ width: 800, colorScheme: 'dark' });
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    await page.goto(urlOf('index.html'));
    expect(await page.evaluate('inPage.onPaper()')).toEqual({
      menu: 'none',
      paper: 'rgb(255, 255, 255)',
      ink: 'rgb(0, 0, 0)',
    });
    await page.context().close();
  });
});
