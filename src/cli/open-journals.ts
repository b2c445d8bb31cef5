/** The journals an editor has open: one for each folder of its workspace, and one for the folder of a file from elsewhere. */
import { dirname, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { EXTENSION } from './journal-files.ts';
import { OpenJournal } from './open-journal.ts';

/** The path of an address, where it is one of a file. */
export function pathOf(uri: string): string | undefined {
  try {
    return uri.startsWith('file:') ? resolve(fileURLToPath(uri)) : undefined;
  } catch {
    return undefined;
  }
}

export interface Placed {
  readonly journal: OpenJournal;
  /** Of the file, relative to the journal's folder. */
  readonly path: string;
}

const isHidden = (path: string): boolean =>
  path.split('/').some((part) => part.startsWith('.') || part === 'node_modules');

export class OpenJournals {
  private readonly journals = new Map<string, OpenJournal>();
  /** Where journals lie in a folder of the workspace; the folder itself is one if nothing is said. */
  private readonly below: readonly string[];

  constructor(below: readonly string[]) {
    this.below = below;
  }

  all(): OpenJournal[] {
    return [...this.journals.values()];
  }

  private foldersOf(folder: string): string[] {
    return this.below.length === 0 ? [folder] : this.below.map((one) => resolve(folder, one));
  }

  add(folder: string): void {
    for (const path of this.foldersOf(folder))
      if (!this.journals.has(path)) this.journals.set(path, new OpenJournal(path, false));
  }

  remove(folder: string): OpenJournal[] {
    const gone = this.foldersOf(folder).flatMap((path) => this.journals.get(path) ?? []);
    for (const journal of gone) this.journals.delete(journal.folder);
    return gone;
  }

  /** The journal a file belongs to: of the nearest folder above it, else of its own. */
  of(uri: string): Placed | undefined {
    const file = pathOf(uri);
    if (file?.endsWith(EXTENSION) !== true) return undefined;
    let nearest: Placed | undefined;
    for (const journal of this.journals.values()) {
      const path = relative(journal.folder, file).split(sep).join('/');
      if (path.startsWith('../') || path === '..' || isHidden(path) || (journal.loose && path.includes('/'))) continue;
      if (nearest === undefined || journal.folder.length > nearest.journal.folder.length) nearest = { journal, path };
    }
    return nearest;
  }

  /** As `of`, for a file that was opened; its folder becomes a journal where it belongs to none. */
  opened(uri: string): Placed | undefined {
    const known = this.of(uri);
    if (known !== undefined) return known;
    const file = pathOf(uri);
    if (file?.endsWith(EXTENSION) !== true) return undefined;
    const folder = dirname(file);
    this.journals.set(folder, new OpenJournal(folder, true));
    return this.of(uri);
  }

  /** Lets go of the folder of a file from elsewhere once nothing in it is open; gives it back. */
  closed({ journal }: Placed): OpenJournal | undefined {
    if (!journal.loose || journal.buffers.size > 0) return undefined;
    this.journals.delete(journal.folder);
    return journal;
  }
}
