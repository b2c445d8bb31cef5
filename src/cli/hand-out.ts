/** Writes what a command made to the file it was asked to put it in, which is never one of a journal. */
import { EXTENSION } from './journal-files.ts';
import { diskReason, writeWhole } from './replace-file.ts';

/** Why it was not written, in words; undefined where it was. */
export function handOut(text: string, path: string): string | undefined {
  if (path.toLowerCase().endsWith(EXTENSION))
    return `a name that ends in ${EXTENSION} is that of a file of a journal, and this is none: name another`;
  try {
    writeWhole(path, Buffer.from(text));
    return undefined;
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return why;
  }
}
