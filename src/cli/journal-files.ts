/** Finds and reads the journal files of a folder; what cannot be read becomes a finding. */
import { isUtf8 } from 'node:buffer';
import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Code } from '../../grammar/codes.ts';
import type { SourceFile } from '../journal/files.ts';
import { type Finding, severityOf } from '../journal/findings.ts';

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
function paths(folder: string, below: string, found: string[], failed: { path: string; why: string }[]): void {
  let entries: Dirent[];
  try {
    entries = readdirSync(join(folder, below), { withFileTypes: true });
  } catch (error) {
    failed.push({ path: below, why: reason(error) });
    return;
  }
  for (const entry of entries) {
    const path = below === '' ? entry.name : `${below}/${entry.name}`;
    if (entry.name.startsWith('.') || entry.name === 'node_modules') continue;
    if (entry.isDirectory()) paths(folder, path, found, failed);
    else if (entry.name.endsWith(EXTENSION)) found.push(path);
  }
}

const byBytes = (a: string, b: string): number =>
  Buffer.compare(Buffer.from(a.normalize('NFC')), Buffer.from(b.normalize('NFC')));

/** Reads a folder; nothing throws. */
export function readFolder(folder: string): ReadFolder {
  const about = (code: Code, file: number, message: string, help: string): Finding => ({
    code,
    severity: severityOf(code),
    where: { file, line: 0, column: 1, endColumn: 2 },
    message,
    help,
    related: [],
  });
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
  paths(folder, '', found, failed);
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
      const bytes = readFileSync(join(folder, path));
      if (isUtf8(bytes)) text = bytes.toString('utf8');
      else {
        const utf16 =
          bytes.length > 1 && ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff));
        const binary = !utf16 && bytes.includes(0);
        findings.push(
          binary
            ? about(
                'binary-bytes',
                files.length,
                `${path} is not a text file`,
                'move it out of the journal, or give it another ending',
              )
            : about(
                'file-not-utf8',
                files.length,
                `${path} is not UTF-8 text${utf16 ? ' (it looks like UTF-16)' : ''}; nothing of it is read`,
                'save it again with the encoding UTF-8',
              ),
        );
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
