/** The texts that explain findings, read from their folder: Markdown by code. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { CODES } from '../../grammar/codes.ts';

/** A text that is not there is left out: its page then has the title alone. */
export async function explanationsIn(folder: string): Promise<Map<string, string>> {
  const texts = new Map<string, string>();
  for (const code of Object.keys(CODES)) {
    const text = await readFile(join(folder, `${code}.md`), 'utf8').catch(() => undefined);
    if (text !== undefined) texts.set(code, text);
  }
  return texts;
}
