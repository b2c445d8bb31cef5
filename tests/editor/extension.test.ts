/** The thin extension and the set-up pages: what they name is there, and the extension starts the program. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { cut } from '../../grammar/tokens.ts';
import { CELLAR } from './journals.ts';

const at = (path: string): string => fileURLToPath(new URL(`../../grammar/editors/${path}`, import.meta.url));
const json = <T>(path: string): T => JSON.parse(readFileSync(at(path), 'utf8')) as T;

interface Manifest {
  readonly main: string;
  readonly version: string;
  readonly contributes: {
    readonly languages: readonly {
      readonly id: string;
      readonly configuration: string;
      readonly extensions: readonly string[];
    }[];
    readonly grammars: readonly { readonly scopeName: string; readonly path: string }[];
    readonly configuration: { readonly properties: Readonly<Record<string, { readonly default: unknown }>> };
  };
}

const manifest = json<Manifest>('extension/package.json');

describe('the extension', () => {
  test('names files that are there, and has the version of the program', () => {
    const { languages, grammars } = manifest.contributes;
    for (const path of [
      manifest.main,
      ...languages.map((one) => one.configuration),
      ...grammars.map((one) => one.path),
    ])
      expect(existsSync(at(`extension/${path}`)), path).toBe(true);
    const { version } = JSON.parse(readFileSync(at('../../package.json'), 'utf8')) as { version: string };
    expect(manifest.version).toBe(version);
    expect(languages[0]).toMatchObject({ id: 'cellar', extensions: ['.cellar'] });
    expect(json<{ scopeName: string }>('extension/syntaxes/cellar.tmLanguage.json').scopeName).toBe(
      grammars[0]?.scopeName,
    );
  });

  test('takes the words of a journal for words', () => {
    const { wordPattern } = json<{ wordPattern: { pattern: string; flags: string } }>(
      'extension/language-configuration.json',
    );
    const pattern = new RegExp(wordPattern.pattern, `g${wordPattern.flags}`);
    const words = ['Word', 'Verb', 'Link', 'Clause', 'Date', 'Time', 'Number'];
    for (const line of CELLAR.split('\n')) {
      const found = [...line.matchAll(pattern)].map((match) => match[0]);
      const { tokens } = cut(line);
      for (const { tokenType, image } of tokens)
        if (words.includes(tokenType.name) && !image.startsWith('-')) expect(found, line).toContain(image);
    }
  });

  test('knows where a note goes on', () => {
    const { onEnterRules } = json<{ onEnterRules: { beforeText: string; action: { appendText?: string } }[] }>(
      'extension/language-configuration.json',
    );
    const note = onEnterRules.find(({ action }) => action.appendText === '| ');
    expect(new RegExp(note?.beforeText ?? '$.').test('    | Clear, 9 C at dawn.')).toBe(true);
    // an empty line of a note ends it
    expect(new RegExp(note?.beforeText ?? '').test('    | ')).toBe(false);
  });

  test('starts the server with the command that is set, and ends it', () => {
    const started: unknown[] = [];
    class LanguageClient {
      constructor(...all: unknown[]) {
        started.push(all);
      }
      start(): string {
        return 'started';
      }
      stop(): string {
        return 'stopped';
      }
    }
    const settings: Record<string, unknown> = { command: ['npx', 'ullage'], journals: ['2026'] };
    const modules: Record<string, unknown> = {
      vscode: { workspace: { getConfiguration: () => ({ get: (name: string) => settings[name] }) } },
      'vscode-languageclient/node': { LanguageClient, TransportKind: { stdio: 0 } },
    };
    const exported: Record<string, () => unknown> = {};
    const run = new Function('require', 'exports', readFileSync(at(`extension/${manifest.main}`), 'utf8'));
    run((name: string) => modules[name], exported);
    expect(exported.activate?.()).toBe('started');
    expect(started).toEqual([
      [
        'ullage',
        'Cellar book',
        { command: 'npx', args: ['ullage', 'language-server'], transport: 0 },
        {
          documentSelector: [{ language: 'cellar', scheme: 'file' }],
          initializationOptions: { journals: ['2026'] },
        },
      ],
    ]);
    expect(exported.deactivate?.()).toBe('stopped');
  });
});

describe('the set-up pages', () => {
  const page = readFileSync(at('README.md'), 'utf8');

  test('have snippets that can be read', () => {
    const snippets = [...page.matchAll(/```json\n([\s\S]*?)```/g)].map((match) => match[1] ?? '');
    expect(snippets.length).toBeGreaterThan(1);
    for (const snippet of snippets)
      expect(JSON.stringify(JSON.parse(snippet))).toContain('["ullage","language-server","--stdio"]');
  });

  test('name files that are there', () => {
    const paths = [...page.matchAll(/`((?:extension|grammar)\/[^`\s]*)`/g)].map((match) => match[1] ?? '');
    expect(paths.length).toBeGreaterThan(2);
    for (const path of paths)
      expect(existsSync(at(path.startsWith('grammar/') ? `../../${path}` : path)), path).toBe(true);
  });
});
