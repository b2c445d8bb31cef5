/** Appends entries to a file of a journal: what is in it stays, byte for byte, and the file is written whole or not at all. */
import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { dirname, sep } from 'node:path';
import { EXTENSION } from './journal-files.ts';
import { diskReason, replaceFile, writeWhole } from './replace-file.ts';

/** Whether a path lies in a folder, through whatever links. */
function liesIn(path: string, folder: string): boolean {
  const inside = realpathSync(dirname(path));
  const around = realpathSync(folder);
  return inside === around || inside.startsWith(around.endsWith(sep) ? around : around + sep);
}

/**
 * Puts lines that begin with a day at the end of a journal file, which is made if it is not there. Gives the reason where
 * it is not done.
 */
export function appendEntries(path: string, folder: string, entries: string): string | undefined {
  if (!path.endsWith(EXTENSION)) return `a file of a journal ends in ${EXTENSION}`;
  try {
    if (!liesIn(path, folder)) return 'it does not lie in the folder of the journal';
    if (!existsSync(path)) {
      writeWhole(path, Buffer.from(entries));
      return undefined;
    }
    const held = readFileSync(path);
    const text = held.toString('utf8');
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
