/** The fenced journals of a Markdown page: what stands between the fences, and the words behind the language. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export interface Fence {
  /** The first line's words behind `cellar`: empty, a file name, or `lines` for single lines out of their context. */
  readonly words: string;
  readonly text: string;
}

/** The fences of the language `cellar`, in order. */
export function fences(markdown: string): Fence[] {
  return [...markdown.matchAll(/^```cellar ?(.*)\n([\s\S]*?)\n```$/gm)].map((match) => ({
    words: match[1] ?? '',
    text: `${match[2] ?? ''}\n`,
  }));
}

const at = (path: string): string => fileURLToPath(new URL(`../../grammar/${path}`, import.meta.url));

/** A file under `grammar/`, as text. */
export const grammarFile = (path: string): string => readFileSync(at(path), 'utf8');

/** The names of the files in a folder under `grammar/`, sorted. */
export const grammarFolder = (path: string): string[] => readdirSync(at(path)).sort();

export const grammarHas = (path: string): boolean => existsSync(at(path));
