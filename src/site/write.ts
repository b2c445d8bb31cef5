/** Writes the site to its folder: only what changed, each file whole or not at all, and nothing outside the folder. */
import { lstat, mkdir, open, readdir, readFile, rename, rm, rmdir, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { SiteFile } from './pages.ts';

/** Lists what an earlier build wrote; only that is ever removed, and only a folder that has it is written to again. */
export const MANIFEST = '.ullage-site.json';

export interface Written {
  readonly written: number;
  readonly unchanged: number;
  readonly removed: number;
}

/** The folder cannot be written to as a site; the message says why and what to do. */
export class SiteFolderError extends Error {}

interface Manifest {
  /** While a build runs, files may be half there under their passing names. */
  readonly unfinished: boolean;
  readonly files: readonly string[];
}

/** A path of ours: lower-case letters, digits and single marks between them; nothing that climbs or hides. */
const OUR_PATH = /^(?:[a-z0-9]+(?:[-_][a-z0-9]+)*\/)?[a-z0-9]+(?:[-_][a-z0-9]+)*\.(?:html|css|js|svg|ics)$/u;
/** What a file is called until it is whole. */
const PASSING = '.part';
/** Files written at once. */
const AT_ONCE = 8;

/**
 * @throws SiteFolderError when the folder holds something that is not a site of ours, or a path leads out of it.
 * @throws Error of the file system: no room, no right to write.
 */
export async function writeSite(files: readonly SiteFile[], out: string): Promise<Written> {
  for (const { path } of files) {
    if (!OUR_PATH.test(path)) throw new SiteFolderError(`"${path}" is no path for a page`);
  }
  if (new Set(files.map(({ path }) => path)).size !== files.length)
    throw new SiteFolderError('two pages have one path');

  const earlier = await manifestIn(out);
  await mkdir(out, { recursive: true });
  for (const folder of foldersOf([...files.map(({ path }) => path), ...earlier.files]))
    await refuseLink(join(out, folder), folder);
  if (earlier.unfinished) {
    for (const path of earlier.files) await rm(join(out, path + PASSING), { force: true });
  }

  const changed: SiteFile[] = [];
  for (const file of files) {
    if ((await textOf(join(out, file.path))) !== file.text) changed.push(file);
  }
  const wanted = new Set(files.map(({ path }) => path));
  const stale = earlier.files.filter((path) => !wanted.has(path));
  const paths = [...wanted].sort();
  if (changed.length > 0 || stale.length > 0) {
    // All that may be there is listed before any of it is: a build cut short leaves nothing behind that nobody knows.
    await writeWhole(
      join(out, MANIFEST),
      manifestText({ unfinished: true, files: [...new Set([...paths, ...earlier.files])].sort() }),
    );
    for (const folder of foldersOf(paths)) await mkdir(join(out, folder), { recursive: true });
    await inTurns(changed, ({ path, text }) => writeWhole(join(out, path), text));
    for (const path of stale) await rm(join(out, path), { force: true });
    for (const folder of foldersOf(stale)) await rmdir(join(out, folder)).catch(() => undefined);
  }
  const finished = manifestText({ unfinished: false, files: paths });
  if ((await textOf(join(out, MANIFEST))) !== finished) await writeWhole(join(out, MANIFEST), finished);
  return { written: changed.length, unchanged: files.length - changed.length, removed: stale.length };
}

/**
 * The folder of a site that is written to again and again. While it is open, the list in it says that work goes on, so
 * that whoever comes after a crash knows what may be half there.
 */
export class SiteFolder {
  private readonly out: string;
  private listed: string;

  private constructor(out: string, listed: string) {
    this.out = out;
    this.listed = listed;
  }

  /** Writes a whole site as `writeSite` does, and leaves the folder open. */
  static async open(files: readonly SiteFile[], out: string): Promise<SiteFolder> {
    await writeSite(files, out);
    const folder = new SiteFolder(out, '');
    await folder.list(files.map(({ path }) => path));
    return folder;
  }

  /**
   * Puts changed files in place, each whole, and takes away what is no more; `paths` are all of the site. Nothing waits
   * for the disk to have it all: what a crash leaves behind, the next build mends.
   *
   * @throws SiteFolderError, and Error of the file system, as `writeSite`.
   */
  async update(changed: readonly SiteFile[], removed: readonly string[], paths: readonly string[]): Promise<void> {
    const { out } = this;
    for (const path of [...changed.map((file) => file.path), ...removed])
      if (!OUR_PATH.test(path)) throw new SiteFolderError(`"${path}" is no path for a page`);
    const folders = foldersOf(changed.map(({ path }) => path));
    for (const folder of folders) await refuseLink(join(out, folder), folder);
    await this.list(paths, removed);
    for (const folder of folders) await mkdir(join(out, folder), { recursive: true });
    await inTurns(changed, ({ path, text }) => putInPlace(join(out, path), text));
    for (const path of removed) await rm(join(out, path), { force: true });
    for (const folder of foldersOf(removed)) await rmdir(join(out, folder)).catch(() => undefined);
    await this.list(paths);
  }

  /** The list says that the work is done. */
  async close(): Promise<void> {
    const list = await textOf(join(this.out, MANIFEST));
    if (list === undefined) return;
    await writeWhole(join(this.out, MANIFEST), manifestText({ unfinished: false, files: readManifest(list).files }));
  }

  private async list(paths: readonly string[], further: readonly string[] = []): Promise<void> {
    const text = manifestText({ unfinished: true, files: [...new Set([...paths, ...further])].sort() });
    if (text === this.listed) return;
    await putInPlace(join(this.out, MANIFEST), text);
    this.listed = text;
  }
}

/** Under a passing name, then in place. */
async function putInPlace(path: string, text: string): Promise<void> {
  const passing = path + PASSING;
  await rm(passing, { force: true });
  await writeFile(passing, text, { encoding: 'utf8', flag: 'wx' });
  await rename(passing, path);
}

function foldersOf(paths: readonly string[]): string[] {
  return [...new Set(paths.map((path) => dirname(path)).filter((folder) => folder !== '.'))].sort();
}

/** Files that a symbolic link would put elsewhere are not ours to write. */
async function refuseLink(path: string, name: string): Promise<void> {
  const found = await lstat(path).catch(() => undefined);
  if (found !== undefined && !found.isDirectory()) {
    throw new SiteFolderError(`"${name}" in the site's folder is not a folder; move it away and build again`);
  }
}

async function manifestIn(out: string): Promise<Manifest> {
  const entries = await readdir(out).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    throw error;
  });
  const text = await textOf(join(out, MANIFEST));
  if (text === undefined) {
    // A manifest that was never made whole does not count as something in the folder.
    if (entries.some((entry) => entry !== MANIFEST + PASSING)) {
      throw new SiteFolderError(
        `the folder "${out}" is not empty and holds no site of ours; choose a new or an empty folder for the site`,
      );
    }
    return { unfinished: false, files: [] };
  }
  return readManifest(text);
}

/** A manifest may have been tampered with: paths that are none of ours are passed over. */
function readManifest(text: string): Manifest {
  try {
    const found: unknown = JSON.parse(text);
    if (typeof found !== 'object' || found === null || !('files' in found) || !Array.isArray(found.files)) {
      return { unfinished: true, files: [] };
    }
    const files = found.files.filter((path): path is string => typeof path === 'string' && OUR_PATH.test(path));
    return { unfinished: !('unfinished' in found) || found.unfinished !== false, files };
  } catch {
    return { unfinished: true, files: [] };
  }
}

function manifestText(manifest: Manifest): string {
  return `${JSON.stringify(manifest, undefined, 1)}\n`;
}

async function textOf(path: string): Promise<string | undefined> {
  return readFile(path, 'utf8').catch(() => undefined);
}

/** Under a passing name, to the disk, then in place: whoever looks sees the old file or the new one. */
async function writeWhole(path: string, text: string): Promise<void> {
  const passing = path + PASSING;
  // A link under the passing name would be followed; it is taken away first, and must not come back.
  await rm(passing, { force: true });
  const file = await open(passing, 'wx');
  try {
    await file.writeFile(text, 'utf8');
    await file.sync();
  } finally {
    await file.close();
  }
  await rename(passing, path);
}

async function inTurns<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  let next = 0;
  const worker = async (): Promise<void> => {
    for (let item = items[next++]; item !== undefined; item = items[next++]) await work(item);
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
}
