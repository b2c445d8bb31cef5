/** The house: which room may import which, held by reading the import lines. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');

/** A room and the rooms it may import besides itself. */
const ROOMS: Readonly<Record<string, readonly string[]>> = {
  grammar: [],
  'src/trade': ['grammar'],
  'src/journal': ['grammar', 'src/trade'],
  'src/cellar': ['grammar', 'src/trade', 'src/journal'],
  'src/law': ['grammar', 'src/trade', 'src/journal', 'src/cellar'],
  'src/due': ['grammar', 'src/trade', 'src/journal', 'src/cellar'],
  'src/checks': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/law', 'src/due'],
  'src/report': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/law', 'src/due', 'src/checks'],
  'src/blend': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/report'],
  'src/editor': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/law', 'src/due', 'src/checks', 'src/report'],
  'src/charts': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/report'],
  'src/site': ['grammar', 'src/trade', 'src/journal', 'src/cellar', 'src/due', 'src/report', 'src/blend', 'src/charts'],
  'src/cli': [
    'grammar',
    'src/trade',
    'src/journal',
    'src/cellar',
    'src/law',
    'src/due',
    'src/checks',
    'src/report',
    'src/blend',
    'src/editor',
    'src/site',
  ],
};

/** Packages and parts of Node that only some rooms may use. */
const OUTSIDE: readonly { readonly match: RegExp; readonly rooms: readonly string[] }[] = [
  { match: /^chevrotain$/, rooms: ['grammar'] },
  { match: /^eta$/, rooms: ['src/site'] },
  { match: /^(unified|remark|rehype|mdast|hast)/, rooms: ['src/site'] },
  { match: /^highs$/, rooms: ['src/blend'] },
  { match: /^d3-/, rooms: ['src/charts'] },
  { match: /^commander$/, rooms: ['src/cli'] },
  { match: /^csv-parse/, rooms: ['src/cli'] },
  { match: /^vscode-/, rooms: ['src/cli'] },
  { match: /^node:(fs|child_process|net|http|os|process)/, rooms: ['src/cli', 'src/site'] },
];

function sources(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)))
    .sort();
}

const roomOf = (path: string): string | undefined => Object.keys(ROOMS).find((room) => path.startsWith(`${room}/`));

const IMPORT = /(?:^|\n)\s*(?:import|export)[^'"\n]*?(?:from\s*)?['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)/g;

const importsOf = (path: string): string[] => {
  const text = readFileSync(join(ROOT, path), 'utf8').replace(/import(?: type)?\s*\{[^}]*\}\s*from/g, 'import x from');
  return [...text.matchAll(IMPORT)].map((match) => match[1] ?? match[2] ?? '');
};

const files = Object.keys(ROOMS).flatMap(sources);

describe('the rooms of the house', () => {
  it('are all there', () => {
    expect(files.length).toBeGreaterThan(60);
    for (const room of Object.keys(ROOMS)) expect(files.some((file) => file.startsWith(`${room}/`))).toBe(true);
  });

  it('import only what they may', () => {
    const wrong: string[] = [];
    for (const file of files) {
      const room = roomOf(file) ?? '';
      for (const target of importsOf(file)) {
        if (target.startsWith('.')) {
          const path = relative(ROOT, resolve(ROOT, dirname(file), target));
          const other = roomOf(path);
          if (other !== undefined && other !== room && !(ROOMS[room] ?? []).includes(other))
            wrong.push(`${file} imports ${path}`);
        } else {
          for (const rule of OUTSIDE)
            if (rule.match.test(target) && !rule.rooms.includes(room)) wrong.push(`${file} imports ${target}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it('use no clock, no chance and no locale between reading and writing', () => {
    const wrong: string[] = [];
    for (const file of files) {
      if (file.startsWith('src/cli/')) continue;
      const text = readFileSync(join(ROOT, file), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '');
      for (const word of [
        'Date.now',
        'new Date()',
        'Math.random',
        'toLocale',
        'Intl.',
        'localeCompare',
        'process.env',
      ]) {
        if (text.includes(word)) wrong.push(`${file} uses ${word}`);
      }
    }
    expect(wrong).toEqual([]);
  });
});
