/** The files of a journal that is being written: read again only where the disk says that they changed. */
import { readFileSync, statSync } from 'node:fs';
import type { SourceFile } from '../journal/files.ts';
import { type ReadFolder, type ReadText, readFolder, textOf } from './journal-files.ts';

interface Kept {
  readonly stamp: string;
  readonly read: ReadText;
}

export class KeptFiles {
  private readonly folder: string;
  private kept = new Map<string, Kept>();
  /** What was taken up last. */
  private taken: ReadFolder | undefined;
  private dropped = false;

  constructor(folder: string) {
    this.folder = folder;
  }

  /** The folder as it is now. */
  read(): ReadFolder {
    const kept = new Map<string, Kept>();
    const read = readFolder(this.folder, {
      readText: (path) => {
        const { size, mtimeNs, ctimeNs, ino } = statSync(path, { bigint: true });
        const stamp = `${size} ${mtimeNs} ${ctimeNs} ${ino}`;
        const known = this.kept.get(path);
        const now = known?.stamp === stamp ? known : { stamp, read: textOf(readFileSync(path)) };
        kept.set(path, now);
        return now.read;
      },
    });
    this.kept = kept;
    return read;
  }

  /** What is read now counts as taken up. */
  take(read: ReadFolder): void {
    this.taken = read;
    this.dropped = false;
  }

  /** What was taken up has come to nothing: whatever is read next is to be taken up again. */
  drop(): void {
    this.dropped = true;
  }

  /** Nothing is different from what was taken up. */
  isTaken({ files, findings, missing }: ReadFolder): boolean {
    const { taken } = this;
    return (
      !this.dropped &&
      taken !== undefined &&
      taken.missing === missing &&
      taken.files.length === files.length &&
      taken.files.every(({ path, text }, i) => path === files[i]?.path && text === files[i]?.text) &&
      JSON.stringify(taken.findings) === JSON.stringify(findings)
    );
  }

  /** Something that was there is gone, empty or not to be read: an editor may be in the middle of saving it. */
  isDoubtful(read: ReadFolder): boolean {
    const texts = new Map(read.files.map(({ path, text }): [string, string] => [path, text]));
    return (this.taken?.files ?? []).some(
      ({ path, text }: SourceFile) => text !== '' && (texts.get(path) ?? '') === '',
    );
  }
}
