/** Finds the cases of the corpus: a journal of one file, or a folder that holds several, with what is expected beside it. */
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { SourceFile } from '../../src/journal/files.ts';

export interface Case {
  /** `numbers/decimal-comma` */
  readonly name: string;
  readonly files: readonly SourceFile[];
  /** The path of the case without an ending: expectations stand beside it. */
  readonly path: string;
}

const ENDING = '.cellar';
const root = fileURLToPath(new URL('.', import.meta.url));

/** Journal files below a folder, relative to it, in the order of their bytes. */
function journalFiles(folder: string, below = ''): SourceFile[] {
  return readdirSync(join(folder, below), { withFileTypes: true })
    .flatMap((entry) => {
      const path = below === '' ? entry.name : `${below}/${entry.name}`;
      if (entry.isDirectory()) return journalFiles(folder, path);
      return path.endsWith(ENDING) ? [{ path, text: readFileSync(join(folder, path), 'utf8') }] : [];
    })
    .sort((a, b) => Buffer.compare(Buffer.from(a.path), Buffer.from(b.path)));
}

/** The cases of `good` or `bad`, sorted by name. */
export function cases(kind: 'good' | 'bad'): Case[] {
  return readdirSync(join(root, kind))
    .sort()
    .flatMap((topic) =>
      readdirSync(join(root, kind, topic), { withFileTypes: true })
        .sort((a, b) => (a.name < b.name ? -1 : 1))
        .flatMap((entry): Case[] => {
          const folder = join(root, kind, topic);
          if (entry.isDirectory()) {
            const path = join(folder, entry.name);
            return [{ name: `${topic}/${entry.name}`, path, files: journalFiles(path) }];
          }
          if (!entry.name.endsWith(ENDING)) return [];
          const stem = entry.name.slice(0, -ENDING.length);
          const text = readFileSync(join(folder, entry.name), 'utf8');
          return [{ name: `${topic}/${stem}`, path: join(folder, stem), files: [{ path: entry.name, text }] }];
        }),
    );
}

export type Held = 'as expected' | 'written' | 'missing' | 'changed';

/**
 * Holds what a case gives against the file beside it. Without one it is written, but never where nobody would see it:
 * on a build machine it is missing. What differs is left beside it as `.changed`.
 */
export function hold(path: string, ending: string, is: unknown): { readonly held: Held; readonly expected: string } {
  const text = `${JSON.stringify(is, null, 2)}\n`;
  const changed = `${path}.changed`;
  rmSync(changed, { force: true });
  if (!existsSync(path + ending)) {
    if (process.env.CI) return { held: 'missing', expected: '' };
    writeFileSync(path + ending, text);
    return { held: 'written', expected: text };
  }
  const expected = readFileSync(path + ending, 'utf8');
  if (JSON.stringify(JSON.parse(expected)) === JSON.stringify(is)) return { held: 'as expected', expected };
  writeFileSync(changed, text);
  return { held: 'changed', expected };
}
