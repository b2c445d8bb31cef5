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

describe.skipIf(found === undefined)('the demo’s site in a browser', () => {
  let folder: string;
  let browser: Browser;
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
  });
  afterAll(async () => {
    await browser?.close();
    if (folder !== undefined) await rm(folder, { recursive: true, force: true });
  });

  const urlOf = (path: string): string => pathToFileURL(join(folder, path)).href;

  /** A page that notes whatever a quiet, self-contained site must not do. */
  async function watched(options: {
    width: number;
    colorScheme?: 'light' | 'dark';
  }): Promise<{ page: Page; faults: string[] }> {
    const context = await browser.newContext({
      viewport: { width: options.width, height: 900 },
      colorScheme: options.colorScheme ?? 'light',
      javaScriptEnabled: true,
    });
    const page = await context.newPage();
    const faults: string[] = [];
    page.on('console', (message) => {
      if (message.type() === 'error' || message.type() === 'warning') faults.push(`${page.url()}: ${message.text()}`);
    });
    page.on('pageerror', (error) => faults.push(`${page.url()}: ${error.message}`));
    page.on('requestfailed', (request) => faults.push(`${page.url()}: ${request.url()} failed`));
    page.on('request', (request) => {
      const inside = request.url().startsWith(pathToFileURL(`${folder}/`).href);
      if (!inside) faults.push(`${page.url()}: asked for ${request.url()}`);
    });
    return { page, faults };
  }

  test('every page is reached by links, and every link and anchor leads somewhere', async () => {
    const { page, faults } = await watched({ width: 1280 });
    const start = urlOf('index.html');
    const queue = [start];
    const anchors = new Map<string, Set<string>>();
    const wanted: { from: string; to: string; anchor: string }[] = [];
    const seen = new Set(queue);
    for (let url = queue.shift(); url !== undefined; url = queue.shift()) {
      await page.goto(url);
      const told = await page.evaluate(() => ({
        headings: document.querySelectorAll('h1').length,
        ids: [...document.querySelectorAll('[id]')].map(({ id }) => id),
        // Links of notes go where their writer wanted; all others are the site's own.
        links: [...document.querySelectorAll('a[href]:not(.text:not(.help) a)')].map(
          (a) => (a as HTMLAnchorElement).href,
        ),
        styled: getComputedStyle(document.body).maxWidth !== 'none',
        language: document.documentElement.lang,
        named: [...document.querySelectorAll('svg[role=img]')].every(
          (svg) => (svg.querySelector('title')?.textContent ?? '') !== '',
        ),
      }));
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

  const kinds = async (): Promise<string[]> => {
    const { page } = await watched({ width: 1280 });
    await page.goto(urlOf('lots.html'));
    const lots = await page.evaluate(() =>
      [...document.querySelectorAll('tbody a')].map((a) => a.getAttribute('href') ?? ''),
    );
    await page.goto(urlOf('vessels.html'));
    const vessels = await page.evaluate(() =>
      [...document.querySelectorAll('tbody th a')].map((a) => a.getAttribute('href') ?? ''),
    );
    await page.goto(urlOf('journal.html'));
    const journal = await page.evaluate(() =>
      [...document.querySelectorAll('main li a')].map((a) => a.getAttribute('href') ?? ''),
    );
    await page.context().close();
    return [
      ...[
        'index.html',
        'lots.html',
        'vessels.html',
        'fruit.html',
        'findings.html',
        'journal.html',
        'help.html',
        'help/merge-conflict.html',
      ],
      ...lots.slice(0, 6),
      ...lots.slice(-6),
      ...vessels.filter((_, index) => index % 12 === 0),
      ...journal.slice(0, 4),
    ];
  };

  test.each([320, 390, 1280])('nothing is wider than a window of %i pixels', async (width) => {
    const { page, faults } = await watched({ width, colorScheme: width === 390 ? 'dark' : 'light' });
    for (const path of await kinds()) {
      await page.goto(urlOf(path));
      // Folded tables count too.
      await page.evaluate(() => {
        for (const details of document.querySelectorAll('details')) details.open = true;
      });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(over, `${path} at ${width}`).toBeLessThanOrEqual(0);
    }
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test.each(['light', 'dark'] as const)('words stand out from what they are written on (%s)', async (colorScheme) => {
    const { page } = await watched({ width: 1280, colorScheme });
    for (const path of [
      'index.html',
      'findings.html',
      'fruit.html',
      'help/weight-disagrees.html',
      'journal.html',
      ...(await kinds()).slice(8, 12),
    ]) {
      await page.goto(urlOf(path));
      const faint = await page.evaluate(faintWords);
      expect(faint, path).toEqual([]);
    }
    await page.context().close();
  });

  test('the keyboard finds the skip link first, and a line that is asked for is marked', async () => {
    const { page } = await watched({ width: 1280 });
    await page.goto(urlOf('index.html'));
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('href'))).toBe('#main');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main');
    await page.goto(urlOf('journal.html'));
    await page.click('main li a');
    await page.goto(`${page.url()}#L3`);
    const [marked, plain] = await page.evaluate(() =>
      ['L3', 'L4'].map((id) => getComputedStyle(document.getElementById(id) ?? document.body).backgroundColor),
    );
    expect(marked).not.toBe(plain);
    await page.context().close();
  });

  test('on paper there is neither menu nor colour behind the words', async () => {
    const { page } = await watched({ width: 800, colorScheme: 'dark' });
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    await page.goto(urlOf('index.html'));
    const told = await page.evaluate(() => ({
      menu: getComputedStyle(document.querySelector('nav') ?? document.body).display,
      paper: getComputedStyle(document.body).backgroundColor,
      ink: getComputedStyle(document.body).color,
    }));
    expect(told).toEqual({ menu: 'none', paper: 'rgb(255, 255, 255)', ink: 'rgb(0, 0, 0)' });
    await page.context().close();
  });
});

/**
 * Runs in the page: texts whose contrast with the colour behind them is below WCAG 2.2 AA (success criterion 1.4.3):
 * 4.5 to 1, or 3 to 1 for large ones.
 */
function faintWords(): string[] {
  const channels = (colour: string): number[] => (colour.match(/[0-9.]+/gu) ?? []).map(Number);
  const luminance = (rgb: number[]): number => {
    const [red = 0, green = 0, blue = 0] = rgb.map((value) => {
      const share = value / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const behind = (element: Element | null): number[] => {
    for (let at = element; at !== null; at = at.parentElement) {
      const colour = channels(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || (colour[3] ?? 0) === 1) return colour.slice(0, 3);
    }
    return [255, 255, 255];
  };
  const faint: string[] = [];
  for (const element of document.querySelectorAll('body *')) {
    const words = [...element.childNodes].some((node) => node.nodeType === 3 && (node.textContent ?? '').trim() !== '');
    if (!words || element.closest('svg, .skip') !== null || element.getClientRects().length === 0) continue;
    const style = getComputedStyle(element);
    const [a, b] = [luminance(channels(style.color).slice(0, 3)), luminance(behind(element))];
    const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const size = Number.parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    if (contrast < (large ? 3 : 4.5)) faint.push(`${element.tagName}.${element.className}: ${contrast.toFixed(2)}`);
  }
  return [...new Set(faint)];
}
