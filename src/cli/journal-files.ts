/** Finds and reads the journal files of a folder; what cannot be read becomes a finding. */
import { isUtf8 } from 'node:buffer';
import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Code } from '../../grammar/codes.ts';
import type { SourceFile } from '../journal/files.ts';
import { compareFindings, type Finding, severityOf } from '../journal/findings.ts';

export const EXTENSION = '.cellar';

export interface ReadFolder {
  readonly files: readonly SourceFile[];
  readonly findings: readonly Finding[];
  /** The folder itself could not be read. */
  readonly missing: boolean;
}

const reason = (error: unknown): string => {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code === 'ENOENT') return 'it is not there';
  if (code === 'EACCES' || code === 'EPERM') return 'reading it is not allowed';
  if (code === 'ENOTDIR') return 'it is no folder';
  return code === '' ? 'it cannot be read' : `it cannot be read (${code})`;
};

/** The paths of all journal files below a folder, relative, in the byte order of their NFC form. Hidden folders are passed over. */
function paths(
  folder: string,
  below: string,
  found: string[],
  failed: { path: string; why: string }[],
  deep: boolean,
): void {
  let entries: Dirent[];
  try {
    entries = readdirSync(join(folder, below), { withFileTypes: true });
  } catch (error) {
    failed.push({ path: below, why: reason(error) });
    return;
  }
  for (const entry of entries) {
    const path = below === '' ? entry.name : `${below}/${entry.name}`;
    if (passedOver(entry.name)) continue;
    if (entry.isDirectory()) {
      if (deep) paths(folder, path, found, failed, deep);
    } else if (entry.name.endsWith(EXTENSION)) found.push(path);
  }
}

/** The order journal files are read in: that of the bytes of their paths. */
export const byBytes = (a: string, b: string): number =>
  Buffer.compare(Buffer.from(a.normalize('NFC')), Buffer.from(b.normalize('NFC')));

/** What the bytes of a file come to: its text, or why it has none. */
export type ReadText = { readonly text: string } | { readonly not: 'utf-8' | 'utf-16' | 'text' };

export function textOf(bytes: Buffer): ReadText {
  if (isUtf8(bytes)) return { text: bytes.toString('utf8') };
  const [first, second] = bytes;
  if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff)) return { not: 'utf-16' };
  return { not: bytes.includes(0) ? 'text' : 'utf-8' };
}

const about = (code: Code, file: number, message: string, help: string): Finding => ({
  code,
  severity: severityOf(code),
  where: { file, line: 0, column: 1, endColumn: 2 },
  message,
  help,
  related: [],
});

/** The finding of a file that is no UTF-8 text; `file` is its index. */
export function noText(path: string, not: 'utf-8' | 'utf-16' | 'text', file: number): Finding {
  if (not === 'text') {
    return about(
      'binary-bytes',
      file,
      `${path} is not a text file`,
      'move it out of the journal, or give it another ending',
    );
  }
  return about(
    'file-not-utf8',
    file,
    `${path} is not UTF-8 text${not === 'utf-16' ? ' (it looks like UTF-16)' : ''}; nothing of it is read`,
    'save it again with the encoding UTF-8',
  );
}

/** Folders that hold no journal though they lie in one. */
export const passedOver = (name: string): boolean => name.startsWith('.') || name === 'node_modules';

export interface ReadOptions {
  /** Folders in the folder are read as well. */
  readonly deep?: boolean;
  /** A shorter way to what a file comes to, for who reads it again and again; throws what the disk throws. */
  readonly readText?: (path: string) => ReadText;
}

/** Reads a folder, and unless told otherwise all folders in it; nothing throws. */
export function readFolder(
  folder: string,
  { deep = true, readText = (path) => textOf(readFileSync(path)) }: ReadOptions = {},
): ReadFolder {
  try {
    if (!statSync(folder).isDirectory()) {
      return {
        files: [],
        findings: [
          about('folder-unreadable', -1, `${folder}: it is no folder`, 'name the folder that holds the journal'),
        ],
        missing: true,
      };
    }
  } catch (error) {
    return {
      files: [],
      findings: [
        about('folder-unreadable', -1, `${folder}: ${reason(error)}`, 'name the folder that holds the journal'),
      ],
      missing: true,
    };
  }
  const found: string[] = [];
  const failed: { path: string; why: string }[] = [];
  paths(folder, '', found, failed, deep);
  const unreadable = failed.find(({ path }) => path === '');
  if (unreadable !== undefined) {
    return {
      files: [],
      findings: [about('folder-unreadable', -1, `${folder}: ${unreadable.why}`, 'name a folder that can be read')],
      missing: true,
    };
  }
  found.sort(byBytes);
  const files: SourceFile[] = [];
  const findings: Finding[] = failed.map(({ path, why }) =>
    about('file-unreadable', -1, `${path}: ${why}`, 'mend its permissions, or move it out of the journal'),
  );
  for (const path of found) {
    let text = '';
    try {
      const read = readText(join(folder, path));
      if ('text' in read) text = read.text;
      else {
        findings.push(noText(path, read.not, files.length));
      }
    } catch (error) {
      findings.push(
        about(
          'file-unreadable',
          files.length,
          `${path}: ${reason(error)}`,
          'mend its permissions, or move it out of the journal',
        ),
      );
    }
    files.push({ path, text });
  }
  return { files, findings, missing: false };
}

/** All there is to say of a journal: of its files, and of what stands in them. */
export function allFindings(ofFiles: readonly Finding[], ofJournal: readonly Finding[]): readonly Finding[] {
  // an empty journal is not told of where a file that could not be read is the reason
  const own = ofFiles.length === 0 ? ofJournal : ofJournal.filter(({ code }) => code !== 'journal-empty');
  return [...ofFiles, ...own].sort(compareFindings);
}
