/** The browser the tests look through, and pages that note whatever a quiet, self-contained site must not do. */
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { writeSite } from '../../src/site/write.ts';
import { siteOf } from '../site/build.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const BROWSERS = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/** Where the browser is; absent where there is none. */
export const BROWSER = BROWSERS.find((path) => existsSync(path));

export const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Says once a file why its tests do not run; where they have to, that is a failure. */
export function askForBrowser(): void {
  if (BROWSER !== undefined) return;
  const reason = `no browser in ${BROWSERS.join(', ')}: tests/browser/install-chromium.sh installs one`;
  if (process.env.CI === 'true') {
    test('a browser is there', () => {
      expect.fail(reason);
    });
  } else {
    console.log(`browser tests are skipped: ${reason}`);
  }
}

export function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: BROWSER ?? '', args: FLAGS });
}

let demo: Promise<readonly SiteFile[]> | undefined;

/** The site of the demo journal, as files; made once. */
export function demoSite(): Promise<readonly SiteFile[]> {
  if (demo === undefined) {
    const { files } = readFolder(join(ROOT, 'demo-journal'));
    demo = siteOf(makeBook(files, undefined, checkJournal));
  }
  return demo;
}

/** A site on the disk, in a folder of its own. */
export interface OnDisk {
  readonly folder: string;
  /** The address of a page when it is opened from the disk. */
  readonly urlOf: (path: string) => string;
  readonly remove: () => Promise<void>;
}

export async function onDisk(files: readonly SiteFile[]): Promise<OnDisk> {
  const folder = await mkdtemp(join(tmpdir(), 'site-'));
  await writeSite(files, folder);
  return {
    folder,
    urlOf: (path) => pathToFileURL(join(folder, path)).href,
    remove: () => rm(folder, { recursive: true, force: true }),
  };
}

export interface Look {
  readonly width: number;
  readonly height?: number;
  readonly colorScheme?: 'light' | 'dark';
  /** Without it pages are looked at as where script is switched off. */
  readonly script?: boolean;
}

export interface Watched {
  readonly page: Page;
  /** Words on the console, errors, requests that failed or went elsewhere, and what the page's policy refused. */
  readonly faults: string[];
}

/** A page whose requests may go to addresses that begin with `inside`, and nowhere else. */
export async function watched(browser: Browser, inside: string, look: Look): Promise<Watched> {
  const { width, height = 900, colorScheme = 'light', script = true } = look;
  const context = await browser.newContext({ viewport: { width, height }, colorScheme, javaScriptEnabled: script });
  await context.addInitScript({ path: join(import.meta.dirname, 'in-page.js') });
  const page = await context.newPage();
  const faults: string[] = [];
  page.on('console', (message) => faults.push(`${page.url()}: ${message.text()}`));
  page.on('pageerror', (error) => faults.push(`${page.url()}: ${error.message}`));
  page.on('dialog', (dialog) => {
    faults.push(`${page.url()}: a dialog, ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('popup', () => faults.push(`${page.url()}: opened a window`));
  page.on('requestfailed', (request) => {
    // What is still on its way when the test goes on to the next page is given up, and no fault of the page.
    if (request.failure()?.errorText !== 'net::ERR_ABORTED') faults.push(`${page.url()}: ${request.url()} failed`);
  });
  page.on('request', (request) => {
    if (!request.url().startsWith(inside)) faults.push(`${page.url()}: asked for ${request.url()}`);
  });
  return { page, faults };
}

/** The largest page of every template, by the template's name. */
export function largestPages(files: readonly SiteFile[]): Map<string, string> {
  const largest = new Map<string, SiteFile>();
  for (const file of files) {
    const template = /<body data-page="([a-z-]+)"/u.exec(file.text)?.[1];
    if (template === undefined) continue;
    if (file.text.length > (largest.get(template)?.text.length ?? 0)) largest.set(template, file);
  }
  return new Map([...largest].map(([template, { path }]) => [template, path]));
}
