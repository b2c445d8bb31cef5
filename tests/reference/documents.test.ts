/** What the documents at the top of the repository name is there: links, files, scripts, codes and commands. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { VERBS } from '../../grammar/words.ts';

const at = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const read = (path: string): string => readFileSync(at(path), 'utf8');

const scripts = Object.keys((JSON.parse(read('package.json')) as { scripts: Record<string, string> }).scripts);

describe.each(['README.md', 'DEVELOPERS.md', 'CHANGELOG.md'])('%s', (name) => {
  const text = read(name);

  test('its links lead to files', () => {
    const targets = [...text.matchAll(/\]\(([^)#]+)\)/g)].map((match) => match[1] ?? '');
    expect(targets.filter((target) => !/^https?:/.test(target) && !existsSync(at(target)))).toEqual([]);
  });

  test('the files and folders it names are there', () => {
    const paths = [...text.matchAll(/`((?:grammar|src|tests|templates|demo-journal)\/[^`\s<>*]*)`/g)].map(
      (match) => match[1] ?? '',
    );
    expect(paths.filter((path) => !existsSync(at(path)))).toEqual([]);
  });

  test('the scripts it runs are in the package', () => {
    const run = [...text.matchAll(/npm run ([a-z]+)/g)].map((match) => match[1] ?? '');
    expect(run.filter((script) => !scripts.includes(script))).toEqual([]);
  });
});

test('the readme names every command and option of the program, and no other', () => {
  const main = read('src/cli/main.ts');
  const commands = [...main.matchAll(/\.command\('([a-z-]+)'\)/g)].map((match) => match[1] ?? '').sort();
  const told = [...read('README.md').matchAll(/`ullage ([a-z-]+)/g)].map((match) => match[1] ?? '').sort();
  expect([...new Set(told)]).toEqual(commands);
  const options = [...main.matchAll(/ption\(\s*'(?:-\w, )?(--[a-z]+)/g)].map((match) => match[1] ?? '');
  expect(options.length).toBeGreaterThan(3);
  expect([...new Set(options)].filter((option) => !read('README.md').includes(`\`${option}`))).toEqual([]);
});

test('the licence is the one the package names', () => {
  expect(read('LICENSE')).toMatch(/^MIT License\n\nCopyright \(c\) 2026 The Ullage authors\n/);
  expect(read('package.json')).toContain('"license": "MIT"');
});

test('the changelog has the version of the package', () => {
  const { version } = JSON.parse(read('package.json')) as { version: string };
  expect(read('CHANGELOG.md')).toContain(version);
});

test('the readme shows verbs that exist', () => {
  const shown = [...read('README.md').matchAll(/^\d\d:\d\d ([a-z-]+) /gm)].map((match) => match[1] ?? '');
  expect(shown.length).toBeGreaterThan(5);
  expect(shown.filter((verb) => !(VERBS as readonly string[]).includes(verb))).toEqual([]);
});
