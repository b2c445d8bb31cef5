/** `ullage watch FOLDER`: builds the site of a journal while it is written, and shows it. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { WatchedBook } from '../editor/watched-book.ts';
import { compareFindings } from '../journal/findings.ts';
import { KeptSite } from '../site/kept-site.ts';
import { SiteFolder, SiteFolderError } from '../site/write.ts';
import { type Found, findingChanges } from './finding-changes.ts';
import type { ReadFolder } from './journal-files.ts';
import { KeptFiles } from './kept-files.ts';
import { packagePath } from './package-path.ts';
import { PortTakenError, Preview } from './preview.ts';
import { diskReason } from './replace-file.ts';
import { painter, sayTally, showFinding, tally, visible } from './show.ts';
import { WatchedFolder } from './watch-folder.ts';

export interface WatchOptions {
  /** Where the site goes; without it, where nobody has to look after it. */
  readonly out: string | undefined;
  readonly port: number;
  /** As of this day; without it, as of the last day written. */
  readonly on: number | undefined;
}

/** After the last change, before it is looked at: saves come in bursts. */
const SETTLE_MS = 20;
/** A file that is gone or empty is believed to be so after this long. */
const BELIEVE_MS = 300;
/** After what could not be written. */
const TRY_AGAIN_MS = 5000;
/** Work that is overtaken is given up, but not for ever: somebody who never stops writing wants to see something, too. */
const MOST_GIVEN_UP = 5;
/** The longest that nothing else is heard while pages are made. */
const DEAF_MS = 10;
/** Findings shown at once before the rest is only counted. */
const SHOWN = 30;

/** 0 ended by whoever watched, 2 the folder cannot be read, or the site not be written or shown. */
export async function watch(folder: string, options: WatchOptions): Promise<number> {
  const passing = options.out === undefined ? mkdtempSync(join(tmpdir(), 'ullage-watch-')) : undefined;
  const out = options.out ?? join(passing ?? '', 'site');
  const tidyUp = (): void => {
    if (passing !== undefined) rmSync(passing, { recursive: true, force: true });
  };
  const rounds = new Rounds(folder, out, options.on);
  const preview = new Preview(out, readFileSync(packagePath('templates/preview.js'), 'utf8'));
  let watched: WatchedFolder | undefined;
  const ended = new Promise<void>((done) => {
    const end = (): void => {
      rounds.stop();
      done();
    };
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, end);
  });
  try {
    const first = await rounds.first();
    if (first !== undefined) {
      process.stderr.write(`${first}\n`);
      return 2;
    }
    if (rounds.stopped) return 0;
    const port = await preview.open(options.port);
    rounds.show(preview);
    process.stdout.write(`\nhttp://localhost:${port}/ shows it; Ctrl-C ends\n`);
    watched = new WatchedFolder(folder, out, () => rounds.ask());
    await ended;
    return 0;
  } catch (error) {
    if (!(error instanceof PortTakenError)) throw error;
    process.stderr.write(`${error.message}\n`);
    return 2;
  } finally {
    await watched?.close();
    await rounds.close();
    await preview.close();
    tidyUp();
  }
}

/** One round of work after another: read, fold, make the pages that changed, write them, tell. */
class Rounds {
  private readonly folder: string;
  private readonly out: string;
  private readonly files: KeptFiles;
  private readonly book: WatchedBook;
  private site: KeptSite;
  private written: SiteFolder | undefined;
  private preview: Preview | undefined;
  private found: Found | undefined;
  private paths: readonly string[] = [];
  private timer: NodeJS.Timeout | undefined;
  /** Something may have changed since the running round began. */
  private wanted = false;
  private running: Promise<void> | undefined;
  private closed = false;
  private givenUp = 0;
  private heard = 0;
  /** When something was first missing that had been there. */
  private doubtSince: number | undefined;
  private waiting = false;
  private failed = '';
  private failedAt = 0;

  constructor(folder: string, out: string, on: number | undefined) {
    this.folder = folder;
    this.out = out;
    this.files = new KeptFiles(folder);
    this.book = new WatchedBook(on);
    this.site = this.freshSite();
  }

  private freshSite(): KeptSite {
    return new KeptSite({ templates: packagePath('templates'), findingsPages: packagePath('grammar/findings') });
  }

  /** The first round; gives the reason where there is nothing to watch. */
  async first(): Promise<string | undefined> {
    const read = this.files.read();
    if (read.missing) {
      const paint = painter(process.stderr);
      return read.findings.map((finding) => showFinding(finding, read.files, paint)).join('\n');
    }
    try {
      await this.work(read);
      return undefined;
    } catch (error) {
      const why = error instanceof SiteFolderError ? error.message : diskReason(error);
      if (why === undefined) throw error;
      return error instanceof SiteFolderError ? why : `${visible(this.out)} was not written: ${why}`;
    }
  }

  /** From now on open pages are told. */
  show(preview: Preview): void {
    this.preview = preview;
    preview.tell(this.paths, [], tally(this.found?.findings ?? []));
  }

  /** Asks for a round, soon. */
  ask(): void {
    if (this.closed) return;
    this.wanted = true;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.run(), SETTLE_MS);
  }

  private run(): void {
    if (this.closed || this.running !== undefined) return;
    this.running = this.rounds().finally(() => {
      this.running = undefined;
      if (this.wanted && !this.closed) this.ask();
    });
  }

  private async rounds(): Promise<void> {
    this.wanted = false;
    const read = this.files.read();
    if (this.isAway(read) || this.isUnsettled(read) || this.files.isTaken(read)) return;
    // a disk that was full a moment ago is not tried again and again
    if (this.failed !== '' && Date.now() - this.failedAt < TRY_AGAIN_MS) return;
    try {
      await this.work(read);
      this.failed = '';
    } catch (error) {
      // what is on the disk is not known any more: all of it is made again
      this.written = undefined;
      this.site = this.freshSite();
      const why = error instanceof SiteFolderError ? error.message : (diskReason(error) ?? String(error));
      if (why !== this.failed) process.stderr.write(`the site was not written: ${visible(why)}\n`);
      this.failed = why;
      this.failedAt = Date.now();
      this.files.drop();
    }
  }

  /** The folder itself is not there: whoever moved it may bring it back. */
  private isAway(read: ReadFolder): boolean {
    if (read.missing && !this.waiting)
      process.stderr.write(`${visible(this.folder)} cannot be read; waiting for it, and showing what was there\n`);
    if (!read.missing && this.waiting) process.stderr.write(`${visible(this.folder)} is back\n`);
    this.waiting = read.missing;
    return read.missing;
  }

  private isUnsettled(read: ReadFolder): boolean {
    if (!this.files.isDoubtful(read)) {
      this.doubtSince = undefined;
      return false;
    }
    this.doubtSince ??= Date.now();
    if (Date.now() - this.doubtSince >= BELIEVE_MS) {
      this.doubtSince = undefined;
      return false;
    }
    this.ask();
    return true;
  }

  private readonly rest = async (): Promise<'go on' | 'stop'> => {
    if (performance.now() - this.heard < DEAF_MS) return 'go on';
    await new Promise((done) => setImmediate(done));
    this.heard = performance.now();
    if (this.closed) return 'stop';
    return this.wanted && this.givenUp < MOST_GIVEN_UP && this.isOvertaken() ? 'stop' : 'go on';
  };

  /** Whether the disk has something newer than what is being worked on. */
  private isOvertaken(): boolean {
    const read = this.files.read();
    if (this.files.isTaken(read)) this.wanted = false;
    return this.wanted && !read.missing && !this.files.isDoubtful(read);
  }

  private async work(read: ReadFolder): Promise<void> {
    const started = performance.now();
    this.files.take(read);
    const book = this.book.of(read.files);
    const findings = [...read.findings, ...book.findings].sort(compareFindings);
    const change = await this.site.update({ ...book, findings }, this.rest);
    if (change === undefined) {
      this.files.drop();
      this.givenUp++;
      return;
    }
    this.givenUp = 0;
    const { changed, removed, paths } = change;
    if (this.written === undefined) this.written = await SiteFolder.open(changed, this.out);
    else await this.written.update(changed, removed, paths);
    this.paths = paths;
    const before = this.found;
    this.found = { findings, files: read.files };
    this.preview?.tell(paths, [...changed.map(({ path }) => path), ...removed], tally(findings));
    this.say(before, this.found, changed.length + removed.length, performance.now() - started);
  }

  /** What changed among the findings, and how long the round took. */
  private say(before: Found | undefined, after: Found, pages: number, milliseconds: number): void {
    const paint = painter(process.stdout);
    const { fresh, gone } = findingChanges(before ?? { findings: [], files: [] }, after);
    const lines = gone.map(({ code, message }) => `${paint('green', 'gone')}  ${code}  ${visible(message)}`);
    for (const finding of fresh.slice(0, SHOWN)) lines.push(showFinding(finding, after.files, paint));
    if (fresh.length > SHOWN) lines.push(`and ${fresh.length - SHOWN} more; ullage check tells them`);
    const counted = sayTally(tally(after.findings));
    lines.push(`${pages} file${pages === 1 ? '' : 's'} written in ${Math.round(milliseconds)} ms: ${counted}`);
    process.stdout.write(`${lines.join('\n')}\n`);
  }

  /** No new round begins, and the running one gives up where it can. */
  stop(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  get stopped(): boolean {
    return this.closed;
  }

  /** Lets a round end, and the folder be. */
  async close(): Promise<void> {
    this.stop();
    await this.running;
    await this.written?.close().catch(() => undefined);
  }
}
