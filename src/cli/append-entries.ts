/** Appends entries to a file of a journal: what is in it stays, byte for byte, and the file is written whole or not at all. */
import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { basename, dirname, isAbsolute, relative, sep } from 'node:path';
import { EXTENSION, passedOver, textOf } from './journal-files.ts';
import { diskReason, replaceFile, writeWhole } from './replace-file.ts';

/** Why the journal of a folder would not read a file; links are followed, as reading follows them. */
function whyUnread(path: string, folder: string): string | undefined {
  if (!path.endsWith(EXTENSION)) return `a file of a journal ends in ${EXTENSION}`;
  const below = relative(realpathSync(folder), realpathSync(dirname(path)));
  const folders = below.split(sep);
  if (isAbsolute(below) || folders[0] === '..') return 'it does not lie in the folder of the journal';
  if ([...folders, basename(path)].some(passedOver))
    return 'a journal reads no hidden files, and nothing in hidden folders or in node_modules';
  return undefined;
}

/**
 * Puts lines that begin with a day at the end of a journal file, which is made if it is not there. Gives the reason where
 * it is not done.
 */
export function appendEntries(path: string, folder: string, entries: string): string | undefined {
  try {
    const unread = whyUnread(path, folder);
    if (unread !== undefined) return unread;
    if (!existsSync(path)) {
      writeWhole(path, Buffer.from(entries));
      return undefined;
    }
    const held = readFileSync(path);
    const read = textOf(held);
    if ('not' in read) return 'it is not UTF-8 text, and a journal reads no other';
    const { text } = read;
    // as the file breaks its lines
    const own = text.includes('\r\n') ? entries.replaceAll('\n', '\r\n') : entries;
    const line = own === entries ? '\n' : '\r\n';
    const gap = text.trim() === '' ? '' : `${text.endsWith('\n') ? '' : line}${line}`;
    return replaceFile(path, held, Buffer.concat([held, Buffer.from(gap + own)]));
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return why;
  }
}
