/** Tells when something in the folder of a journal may have changed, however it was saved. */
import { statSync } from 'node:fs';
import { relative, resolve, sep } from 'node:path';
import { type FSWatcher, watch } from 'chokidar';
import { EXTENSION } from './journal-files.ts';

/** How often the folder itself is looked for: one that is moved away takes its watcher with it. */
const LOOK_MS = 1000;

/** What may be part of a journal: no hidden folder, no site, and of files only those of a journal. */
function passedOver(folder: string, out: string) {
  const [root, site] = [resolve(folder), resolve(out)];
  return (path: string, stats?: { isFile(): boolean }): boolean => {
    const whole = resolve(path);
    if (whole === root) return false;
    if (whole === site || whole.startsWith(site + sep)) return true;
    const parts = relative(root, whole).split(sep);
    if (parts.some((part) => part === 'node_modules' || part.startsWith('.'))) return true;
    return stats?.isFile() === true && !whole.endsWith(EXTENSION);
  };
}

/** Which folder a path leads to; undefined where there is none. */
function folderAt(path: string): string | undefined {
  const found = statSync(path, { throwIfNoEntry: false });
  return found?.isDirectory() === true ? `${found.dev} ${found.ino}` : undefined;
}

export class WatchedFolder {
  private readonly folder: string;
  private readonly out: string;
  private readonly changed: () => void;
  private watcher: FSWatcher | undefined;
  private at: string | undefined;
  private readonly looking: NodeJS.Timeout;

  /** `out` is a folder that does not count. `changed` may be called for nothing, and often. */
  constructor(folder: string, out: string, changed: () => void) {
    this.folder = folder;
    this.out = out;
    this.changed = changed;
    this.begin();
    this.looking = setInterval(() => this.look(), LOOK_MS);
  }

  private begin(): void {
    this.at = folderAt(this.folder);
    if (this.at === undefined) return;
    this.watcher = watch(this.folder, {
      ignoreInitial: true,
      ignored: passedOver(this.folder, this.out),
      // an editor that saves under another name and renames is told of as one change
      atomic: 50,
    });
    this.watcher.on('all', () => this.changed());
    // a folder that may not be entered is told of when it is read
    this.watcher.on('error', () => this.changed());
    this.watcher.on('ready', () => this.changed());
  }

  private look(): void {
    let at: string | undefined;
    try {
      at = folderAt(this.folder);
    } catch {
      at = undefined;
    }
    if (at !== this.at) {
      const before = this.watcher;
      this.watcher = undefined;
      void before?.close();
      this.begin();
    }
    // some disks tell of nothing: whoever is asked looks for himself
    this.changed();
  }

  async close(): Promise<void> {
    clearInterval(this.looking);
    await this.watcher?.close();
  }
}
