/** Opens the demo's site from the disk in a real browser and walks every page of it. */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  askForBrowser,
  BROWSER,
  demoSite,
  type Look,
  type OnDisk,
  onDisk,
  openBrowser,
  type Watched,
  watched as watch,
} from './browser.ts';

askForBrowser();

/** As `in-page.js` tells it. */
interface Told {
  readonly headings: number;
  readonly ids: readonly string[];
  readonly links: readonly string[];
  readonly styled: boolean;
  readonly language: string;
  readonly named: boolean;
}

describe.skipIf(BROWSER === undefined)('the demo’s site in a browser', () => {
  let site: OnDisk;
  let browser: Browser;
  /** One page of each sort, and a few of the sorts that differ most. */
  let sample: string[];

  beforeAll(async () => {
    site = await onDisk(await demoSite());
    browser = await openBrowser();
    sample = await sampleOf();
  });

  afterAll(async () => {
    await browser?.close();
    await site?.remove();
  });

  const urlOf = (path: string): string => site.urlOf(path);
  const watched = (look: Look): Promise<Watched> => watch(browser, urlOf(''), look);

  async function sampleOf(): Promise<string[]> {
    const { page } = await watched({ width: 1280 });
    const hrefs = async (path: string, selector: string): Promise<string[]> => {
      await page.goto(urlOf(path));
      return page.evaluate<string[]>(`inPage.hrefs(${JSON.stringify(selector)})`);
    };
    const lots = await hrefs('lots.html', 'main a[href^="lots/"]');
    const vessels = await hrefs('vessels.html', 'main a[href^="vessels/"]');
    const journal = await hrefs('journal.html', 'main a[href^="journal/"]');
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
        // what is no page is handed to whoever reads its kind
        if (to.endsWith('.html')) queue.push(to);
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
    await page.click('main a[href^="journal/"]');
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
