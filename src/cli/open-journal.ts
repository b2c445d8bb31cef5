/** A journal that somebody is writing in: its files on the disk with what is open in an editor over them. */
import { Study } from '../editor/study.ts';
import { readBlock, type SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import { KeptLines } from '../journal/kept-lines.ts';
import { allFindings, byBytes, type ReadFolder, readFolder } from './journal-files.ts';

/** A text that is open in an editor, under the address and the version the editor gave it. */
export interface Buffered {
  readonly uri: string;
  readonly version: number;
  readonly text: string;
}

export class OpenJournal {
  readonly folder: string;
  /** Only the files right in the folder: it was not opened as a journal, a file of it was. */
  readonly loose: boolean;
  /** By path. */
  readonly buffers = new Map<string, Buffered>();
  private disk: ReadFolder;
  private readonly lines = new KeptLines();
  /** What is open is read again and again, and kept as it was read; the rest is not. */
  private readonly read: typeof readBlock = (files, block, report) =>
    this.buffers.has(files[block.file]?.path ?? '')
      ? this.lines.read(files, block, report)
      : readBlock(files, block, report);
  private study: Study | undefined;
  private told: { readonly study: Study; readonly findings: readonly Finding[] } | undefined;
  /** The files have changed since they were last taken up. */
  private changed = true;

  constructor(folder: string, loose: boolean) {
    this.folder = folder;
    this.loose = loose;
    this.disk = readFolder(folder, { deep: !loose });
  }

  /** Takes up what is on the disk now. */
  reload(): void {
    this.disk = readFolder(this.folder, { deep: !this.loose });
    this.changed = true;
  }

  /** A buffer is open or was typed in; its text counts, whatever the disk has. */
  write(path: string, buffered: Buffered): void {
    if (this.buffers.get(path)?.text !== buffered.text) this.changed = true;
    this.buffers.set(path, buffered);
  }

  /** A buffer was closed; the disk counts again. */
  close(path: string): void {
    if (this.buffers.delete(path)) this.reload();
  }

  private files(): SourceFile[] {
    const texts = new Map(this.disk.files.map(({ path, text }) => [path, text]));
    for (const [path, { text }] of this.buffers) texts.set(path, text);
    // a mark at the beginning of a file is no part of what an editor counts
    return [...texts]
      .map(([path, text]) => ({ path, text: this.buffers.has(path) ? text : text.replace(/^\ufeff/, '') }))
      .sort((a, b) => byBytes(a.path, b.path));
  }

  /** The study of the journal as it is now; what was worked out before is used again. */
  current(): Study {
    if (this.study !== undefined && !this.changed) return this.study;
    this.changed = false;
    this.study = new Study(this.files(), this.study, undefined, { read: this.read });
    return this.study;
  }

  /** What the command line would say of it now. */
  findings(): readonly Finding[] {
    const study = this.current();
    if (this.told?.study === study) return this.told.findings;
    const ofFiles = this.disk.findings.flatMap((finding): Finding[] => {
      const path = this.disk.files[finding.where.file]?.path;
      if (path === undefined) return [finding];
      // what is open can be read
      if (this.buffers.has(path)) return [];
      const file = study.files.findIndex((one) => one.path === path);
      return [{ ...finding, where: { ...finding.where, file } }];
    });
    const findings =
      this.disk.missing && this.buffers.size === 0 ? ofFiles : allFindings(ofFiles, study.outcome().findings);
    this.told = { study, findings };
    return findings;
  }

  fileOf(path: string): number {
    return this.current().files.findIndex((file) => file.path === path);
  }
}
