/** What the site's script does, from the disk and from a host alike; and that nothing is missing or moves without it. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { searchScript } from '../../src/report/search-index.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import {
  askForBrowser,
  BROWSER,
  demoSite,
  largestPages,
  type OnDisk,
  onDisk,
  openBrowser,
  type Watched,
  watched,
} from './browser.ts';
import { type Served, serve } from './serve.ts';

askForBrowser();

/** A page as all others are, with tables of every sort of value in it. */
function probeOf(files: readonly SiteFile[]): SiteFile {
  const page = files.find(({ path }) => path === 'search.html')?.text ?? '';
  const time = (text: string, iso: string): string => `<time datetime="${iso}">${text}</time>`;
  const rows = [
    ['T4', '780 L', '1.2 kg', '2 Oct 2026', '5 months', `${time('9 Sep', '2026-09-09')} 16:10`],
    ['B10', '12\u202F480 L', '36 g', '', '12 days', `${time('10 Sep', '2026-09-10')} 06:00`],
    ['b2', '~12 L', '', '11 Jan 2027', '', `${time('9 Sep', '2026-09-09')} 07:40`],
    ['Ürn', '80 × 750 mL, 6 × 1.5 L (magnum)', '0.9 kg', '30 Sep 2026', '2 years 3 months', ''],
    ['Ürn', '−0.5 L', '800 mg', '3 Mar 2027 (1 day)', 'today', ''],
  ].map(
    (cells) =>
      `<tr>${cells.map((cell, at) => `<td${at === 1 || at === 2 ? ' class="number"' : ''}>${cell}</td>`).join('')}</tr>`,
  );
  const names = ['Vessel', 'Held', 'Added', 'Begun', 'Age', 'Read'];
  const head = `<thead><tr>${names.map((name) => `<th scope="col">${name}</th>`).join('')}</tr></thead>`;
  const two = '<thead><tr><th scope="col">Row</th></tr></thead>';
  const many = Array.from({ length: 21 }, (_, at) => `<tr><td>row ${at} ${at % 3 === 1 ? 'rosé' : 'red'}</td></tr>`);
  const main =
    `<h1>Probe</h1><table data-sort id="values"><caption>Values</caption>${head}<tbody>${rows.join('')}</tbody></table>` +
    `<table data-sort id="parts"><caption>Parts</caption>${two}<tbody><tr><td>1</td></tr></tbody><tbody><tr><td>2</td></tr></tbody></table>` +
    `<div class="scroll long"><table data-sort id="many"><caption>Many</caption>${two}<tbody>${many.join('')}</tbody></table></div>`;
  return {
    path: 'probe.html',
    text: page.replace(/(<main[^>]*>).*<\/main>/su, (_, open: string) => `${open}${main}</main>`),
  };
}

/** The search page, with as much to search as twenty vintages leave. */
function manyOf(files: readonly SiteFile[]): SiteFile[] {
  const page = files.find(({ path }) => path === 'search.html')?.text ?? '';
  const entries = Array.from({ length: 30_000 }, (_, at) => ({
    title: `${(at % 28) + 1} Oct ${2020 + (at % 20)}`,
    detail: `racked RED${2020 + (at % 20)}-${at % 97} to FB-${at % 313}, a crane on the ${at % 3 === 0 ? 'third' : 'other'} morning, ${at}`,
    href: `journal/${at % 240}.html#L${at}`,
  }));
  return [
    { path: 'many/search.html', text: page.replace(/(href|src)="(style\.css|site\.js|icon\.svg)"/gu, '$1="../$2"') },
    { path: 'many/search-index.js', text: searchScript([{ one: 'note', many: 'notes', entries }]) },
  ];
}

describe.skipIf(BROWSER === undefined).each(['disk', 'host'] as const)('from a %s', (from) => {
  let files: readonly SiteFile[];
  let browser: Browser;
  let disk: OnDisk;
  let host: Served;
  let seen: Watched;

  beforeAll(async () => {
    files = await demoSite();
    const probed = [...files, probeOf(files), ...manyOf(files)];
    browser = await openBrowser();
    [disk, host] = await Promise.all([onDisk(probed), serve(probed)]);
    seen = await watched(browser, urlOf(''), { width: 1280 });
  });

  afterEach(() => {
    expect(seen.faults.splice(0)).toEqual([]);
  });

  afterAll(async () => {
    await browser?.close();
    await disk?.remove();
    host?.close();
  });

  const urlOf = (path: string): string => (from === 'disk' ? disk : host).urlOf(path);

  async function opened(path: string): Promise<Page> {
    // By way of an empty page: a step within one page would load nothing.
    await seen.page.goto('about:blank');
    await seen.page.goto(urlOf(path));
    return seen.page;
  }

  const column = (page: Page, selector: string, index: number): Promise<string[]> =>
    page.evaluate<string[]>(`inPage.column(${JSON.stringify(selector)}, ${index})`);

  test('the policy lets the script of every template run, and nothing complains', async () => {
    const page = await opened('index.html');
    for (const path of largestPages(files).values()) {
      await page.goto(urlOf(path));
      expect(await page.locator('[role=status].unseen').count(), path).toBe(1);
    }
  });

  test('the policy stops a script and a style within a page', async () => {
    const page = await opened('index.html');
    await page.evaluate(`
      window.ran = [];
      document.addEventListener('securitypolicyviolation', (event) => window.ran.push(event.effectiveDirective));
      const script = document.createElement('script');
      script.textContent = 'window.ran.push("script")';
      const image = new Image();
      image.setAttribute('onerror', 'window.ran.push("handler")');
      image.src = 'https://example.org/x.png';
      const styled = document.createElement('p');
      styled.setAttribute('style', 'color: red');
      document.body.append(script, image, styled);
    `);
    await expect
      .poll(() => page.evaluate<string[]>('[...window.ran].sort()'))
      .toEqual(['img-src', 'script-src-attr', 'script-src-elem', 'style-src-attr']);
    // It says so, as it should.
    expect(seen.faults.splice(0).length).toBeGreaterThan(0);
  });

  test.each([
    ['Vessel', ['b2', 'B10', 'T4', 'Ürn']],
    ['Held', ['−0.5 L', '~12 L', '80 × 750 mL, 6 × 1.5 L (magnum)', '780 L', '12\u202F480 L']],
    ['Added', ['800 mg', '36 g', '0.9 kg', '1.2 kg', '']],
    ['Begun', ['30 Sep 2026', '2 Oct 2026', '11 Jan 2027', '3 Mar 2027 (1 day)', '']],
    ['Age', ['today', '12 days', '5 months', '2 years 3 months', '']],
    ['Read', ['9 Sep 07:40', '9 Sep 16:10', '10 Sep 06:00', '']],
  ])('%s is sorted by what it means, and a third press puts the rows back', async (name, wanted) => {
    const page = await opened('probe.html');
    const at = (await page.locator('#values thead th').allTextContents()).indexOf(name);
    const told = async (): Promise<string[]> => {
      const all = await column(page, '#values', at);
      return all.filter((text, index) => text !== all[index - 1]);
    };
    const built = await column(page, '#values', at);
    const head = page.locator('#values thead th').nth(at);
    await head.locator('button').click();
    expect(await told()).toEqual(wanted);
    expect(await head.getAttribute('aria-sort')).toBe('ascending');
    await page.keyboard.press('Enter');
    // What is empty stands last, whichever way.
    const full = wanted.filter((text) => text !== '');
    expect(await told()).toEqual([...full.reverse(), ...wanted.filter((text) => text === '')]);
    expect(await head.getAttribute('aria-sort')).toBe('descending');
    await page.keyboard.press('Space');
    expect(await column(page, '#values', at)).toEqual(built);
    expect(await page.locator('[aria-sort]').count()).toBe(0);
    expect(await page.locator('[role=status].unseen').textContent()).toBe(`${name}: rows as they were`);
  });

  test('a table of several parts stays as it is', async () => {
    const page = await opened('probe.html');
    expect(await page.locator('#parts button').count()).toBe(0);
  });

  test('a long table is sifted by the words typed, and printed without the field', async () => {
    const page = await opened('probe.html');
    expect(await page.locator('.sift').count()).toBe(1);
    await page.locator('.sift input').fill('ROSE 1');
    expect(await column(page, '#many', 0)).toEqual([
      'row 1 rosé',
      'row 10 rosé',
      'row 13 rosé',
      'row 16 rosé',
      'row 19 rosé',
    ]);
    expect(await page.locator('.sift output').textContent()).toBe('5 of 21');
    await page.locator('.sift input').fill('');
    expect((await column(page, '#many', 0)).length).toBe(21);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.sift').isVisible()).toBe(false);
    await page.emulateMedia({ media: 'screen' });
  });

  test('a chart tells its figures to a pointer and to the arrow keys', async () => {
    const lot = largestPages(files).get('lot') ?? '';
    const page = await opened(lot);
    const figure = page.locator('section[aria-labelledby=ferment] figure').first();
    const chart = figure.locator('svg.chart:visible');
    await chart.scrollIntoViewIfNeeded();
    const box = (await chart.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
    await page.mouse.move(box.x + box.width * 0.4, box.y + 60);
    const said = figure.locator('output');
    // A row of the table beside it: the day, the hour and a figure a vessel.
    expect(await said.textContent()).toMatch(/^\d+ [A-Z][a-z]{2} \d\d:\d\d: brix \S+ \d/u);
    await page.mouse.move(box.x + box.width * 0.4, box.y - 40);
    expect(await said.textContent()).toBe('');
    // A mark beneath: what it is, under the pointer.
    const mark = chart.locator('.mark').first();
    await mark.hover({ force: true });
    expect(await said.textContent()).toBe(await mark.locator('title').textContent());
    await page.keyboard.press('Escape');
    expect(await said.textContent()).toBe('');

    const slider = figure.getByRole('slider');
    await slider.focus();
    const first = await said.textContent();
    await page.keyboard.press('ArrowRight');
    const second = await said.textContent();
    expect(first).not.toBe('');
    expect(second).not.toBe(first);
    expect(await slider.getAttribute('aria-valuetext')).toMatch(/^2 of \d+$/u);
    await page.keyboard.press('ArrowLeft');
    expect(await said.textContent()).toBe(first);
    await page.keyboard.press('End');
    expect(await slider.getAttribute('aria-valuetext')).toMatch(/^(\d+) of \1$/u);
    await page.keyboard.press('Tab');
    expect(await said.textContent()).toBe('');
  });

  test('the search finds by words, goes by keyboard, and has them again on the way back', async () => {
    const page = await opened('search.html');
    const input = page.getByRole('searchbox');
    const status = page.locator('.finder output');
    await input.fill('syr');
    const titles = await page.locator('.found a').allTextContents();
    expect(titles[0]).toBe('SYR');
    expect(await page.locator('.found mark').first().textContent()).toBe('SYR');
    expect(await page.locator('.named').isVisible()).toBe(false);
    expect(await status.textContent()).toMatch(/^(?:\d+ found|The first 50 of \d+)$/u);
    await input.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    expect(await page.evaluate('document.activeElement.textContent')).toBe(titles[1]);
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.waitForURL(/lots\/syr\.html$/u);
    await page.goBack();
    expect(await input.inputValue()).toBe('syr');
    expect(await page.locator('.found a').first().textContent()).toBe('SYR');
    await input.fill('');
    expect(await page.locator('.named').isVisible()).toBe(true);
  });

  test.each([
    ['rosé', /rosé/iu],
    ['ROSE', /rosé/iu],
    ['2026-09-14', /14 Sep 2026/u],
    ['14 sep 2026', /14 Sep 2026/u],
  ])('the search knows %s', async (words, wanted) => {
    const page = await opened('search.html');
    await page.getByRole('searchbox').fill(words);
    expect((await page.locator('.found li').allTextContents()).join('\n')).toMatch(wanted);
  });

  test('the search keeps up with the fingers over thirty thousand entries', async () => {
    const page = await opened('many/search.html');
    // The least of a few: a machine with other work to do is slower, and no page can help that.
    for (const words of ['r', 'rack', 'rack 2031', 'crane on the third', 'nowhere']) {
      const times = await page.evaluate<number[]>(`inPage.typing(${JSON.stringify(words)}, 5)`);
      expect(Math.min(...times), words).toBeLessThan(50);
    }
  });

  test('nothing is found for what is nowhere', async () => {
    const page = await opened('search.html');
    await page.getByRole('searchbox').fill('zzzz <b>');
    expect(await page.locator('.finder output').textContent()).toBe('0 found');
  });
});

describe.skipIf(BROWSER === undefined)('without script', () => {
  let files: readonly SiteFile[];
  let browser: Browser;
  let host: Served;

  beforeAll(async () => {
    files = await demoSite();
    browser = await openBrowser();
    host = await serve(files);
  });

  afterAll(async () => {
    await browser?.close();
    host?.close();
  });

  test('everything is there, and no control that would do nothing', async () => {
    const { page, faults } = await watched(browser, host.urlOf(''), { width: 1280, script: false });
    for (const path of largestPages(files).values()) {
      await page.goto(host.urlOf(path));
      expect(await page.locator('button:visible, input:visible').count(), path).toBe(0);
    }
    await page.goto(host.urlOf('search.html'));
    const names = await page.locator('.named a').allTextContents();
    for (const name of ['SYR', 'T1']) expect(names).toContain(name);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test.each([320, 1280])(
    'a script that is held back leaves every part where the script would have it (%i pixels)',
    async (width) => {
      const places = async (blocked: boolean): Promise<string[]> => {
        const { page } = await watched(browser, host.urlOf(''), { width });
        if (blocked) await page.route('**/*.js', (route) => route.abort());
        const told: string[] = [];
        for (const path of largestPages(files).values()) {
          await page.goto(host.urlOf(path));
          for (const place of await page.evaluate<string[]>('inPage.places()')) told.push(`${path} ${place}`);
        }
        await page.context().close();
        return told;
      };
      expect(await places(true)).toEqual(await places(false));
    },
  );
});
